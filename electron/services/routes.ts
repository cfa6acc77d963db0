import type { RequestName } from '../../core/contract/request-map.ts';
import type { Routes } from './asking.ts';
import { attachment } from './attachment.ts';
import { binding } from './binding.ts';
import { check } from './check.ts';
import { comment } from './comment.ts';
import { departmentKey } from './department-key.ts';
import { deposit } from './deposit.ts';
import { depositOpen } from './deposit-open.ts';
import { entry } from './entry.ts';
import { entryState } from './entry-state.ts';
import { handIn } from './hand-in.ts';
import { key } from './key.ts';
import { ownNotebook } from './own-notebook.ts';
import { ownCompound } from './own-compound.ts';
import { person } from './person.ts';
import { record } from './record.ts';
import { seal } from './seal.ts';
import { session } from './session.ts';
import { setup } from './setup.ts';
import { signing } from './signing.ts';
import { trail } from './trail.ts';
import { tray } from './tray.ts';
import { trailExport } from './trail-export.ts';
import { version } from './version.ts';

/** Every request of the contract, with the service that answers it. */
export const routes: Routes<RequestName> = {
  ...setup,
  ...session,
  ...person,
  ...key,
  ...departmentKey,
  ...seal,
  ...ownCompound,
  ...record,
  ...entry,
  ...entryState,
  ...attachment,
  ...signing,
  ...comment,
  ...version,
  ...tray,
  ...trail,
  ...trailExport,
  ...check,
  ...handIn,
  ...deposit,
  ...depositOpen,
  ...ownNotebook,
  ...binding,
};
