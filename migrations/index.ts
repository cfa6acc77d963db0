import type { Migration } from 'kysely/migration';
import * as notebook from './0001-notebook.ts';
import * as ownCompounds from './0002-own-compounds.ts';
import * as departmentSeal from './0003-department-seal.ts';
import * as acceptedStays from './0004-accepted-stays.ts';

/** In order, by hand: a file that is not listed here is not run. */
export const migrations: Readonly<Record<string, Migration>> = {
  '0001-notebook': notebook,
  '0002-own-compounds': ownCompounds,
  '0003-department-seal': departmentSeal,
  '0004-accepted-stays': acceptedStays,
};
