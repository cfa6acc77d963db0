import type { RequestName } from '../../core/contract/request-map.ts';
import type { Routes } from './asking.ts';
import { entry } from './entry.ts';
import { person } from './person.ts';
import { record } from './record.ts';
import { session } from './session.ts';
import { setup } from './setup.ts';

/** Every request of the contract, with the service that answers it. */
export const routes = {
  ...setup,
  ...session,
  ...person,
  ...record,
  ...entry,
} as Routes<RequestName>;
