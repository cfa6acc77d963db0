import type { Refusal } from '../../core/contract/contract.ts';
import type { ScryptCost } from '../keys/sealed-key.ts';
import type { NotebookFile } from '../storage/notebook-file.ts';
import type { StorageProblem } from '../storage/storage-problem.ts';
import type { Dispatch } from './dispatcher.ts';
import type { OpenedDeposits } from './opened-deposits.ts';
import type { Jobs } from './jobs.ts';
import type { RefusedTries } from './refused-tries.ts';
import type { Sessions } from './sessions.ts';
import type { PendingDrafts } from './pending-drafts.ts';
import type { Turns } from './turns.ts';

/** Time as the program reads it; the demo and the tests bring their own. */
export interface Clock {
  /** Now, UTC ISO 8601 with milliseconds and `Z`. */
  now(): string;
  /** Minutes east of UTC here. */
  offsetMinutes(): number;
  /** Milliseconds since the program started, untouched by clock settings. */
  monotonicMs(): number;
}

export const systemClock: Clock = {
  now: () => new Date().toISOString(),
  offsetMinutes: () => -new Date().getTimezoneOffset(),
  monotonicMs: () => Math.round(performance.now()),
};

/** All that a service works with. One per open notebook. */
export interface Program {
  /**
   * The open file, or why there is none: the program still starts, and says so. A notebook that fails its
   * check is from then on open for reading only.
   */
  notebook:
    | { readonly ok: true; readonly value: NotebookFile }
    | { readonly ok: false; readonly error: StorageProblem };
  readonly clock: Clock;
  readonly newId: () => string;
  /** Name of this computer, as the trail gives it. */
  readonly device: string;
  /** `fairleaf 0.1.0`: goes into every version. */
  readonly programName: string;
  /** What a new key costs to unlock; the demo's is said in its sealed keys. */
  readonly keyCost: ScryptCost;
  readonly sessions: Sessions;
  readonly pendingDrafts: PendingDrafts;
  readonly jobs: Jobs;
  /** Deposits that lie open to be read. */
  readonly deposits: OpenedDeposits;
  /** One passphrase at a time per person. */
  readonly turns: Turns;
  /** How long a wrong passphrase is past, whatever the computer's clock says. */
  readonly refusedTries: RefusedTries;
  /** The way in, over this program or a likeness of it: the demo is made through the same door. */
  readonly dispatcherOf: (program: Program) => Dispatch;
  /** Told of everything unexpected; no reply carries it. */
  readonly log: (request: string, error: unknown) => void;
}

/** Who asks, as the transport knows it; never from the input. */
export interface Caller {
  /** One browser or one window: it is this that a session belongs to. */
  readonly client: string;
}

export type Refused<Code extends string = never> = {
  readonly ok: false;
  readonly error: Refusal<Code>;
};

export const refuse = <const Code extends string>(
  code: Code,
  where = '',
  facts: Readonly<Record<string, string | number>> = {},
): { readonly ok: false; readonly error: { code: Code; where: string; facts: typeof facts } } => ({
  ok: false,
  error: { code, where, facts },
});
