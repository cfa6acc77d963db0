import type { Migration } from 'kysely/migration';
import * as notebook from './0001-notebook.ts';

/** In order, by hand: a file that is not listed here is not run. */
export const migrations: Readonly<Record<string, Migration>> = {
  '0001-notebook': notebook,
};
