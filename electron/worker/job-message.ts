import type { CheckReport, PersonView } from '../../core/contract/views.ts';
import type { Sealed } from '../../core/record/objects.ts';
import type { SealWith } from '../services/seal-key.ts';
import type { Problem, Result } from '../../core/result.ts';

/** Work for a thread of its own. It reads the notebook through a connection of its own, and writes nothing. */
export type Work =
  | ({ readonly kind: 'entry-pdf'; readonly entryId: string } & Binding)
  | ({ readonly kind: 'record-pdf'; readonly recordId: string } & Binding)
  | ({ readonly kind: 'deposit' } & Depositing & Binding)
  | { readonly kind: 'check'; readonly path: string; readonly pinnedKey: string | null };

/** Work that ends with one printed document. */
export type Printing = Extract<Work, { readonly kind: 'entry-pdf' | 'record-pdf' }>;
export type DepositWork = Extract<Work, { readonly kind: 'deposit' }>;

interface Depositing {
  /** One is deposited by itself; several as a class. Each has something signed in it. */
  readonly recordIds: readonly string[];
  /** A folder of its own, for what is packed on the way and for the finished file. */
  readonly folder: string;
  /** Of the department's key, which stays in the thread that asked: this one sends what is to be signed. */
  readonly certificateHash: string;
}

interface Binding {
  readonly path: string;
  /** For whom: they get what they may read. */
  readonly person: PersonView;
  readonly at: string;
  readonly offsetMinutes: number;
  /** The department's seal, opened for what is printed; null leaves it unsealed. */
  readonly sealWith: SealWith | null;
}

export type WorkMessage =
  | { readonly kind: 'begin'; readonly work: Work }
  | { readonly kind: 'cancel' }
  | { readonly kind: 'signed'; readonly signature: string };

export type WorkAnswer =
  | { readonly kind: 'pdf'; readonly bytes: Uint8Array; readonly name: string }
  | ({ readonly kind: 'deposit' } & DepositDone)
  | { readonly kind: 'check'; readonly result: Result<CheckReport, Problem> };

export interface DepositDone {
  readonly path: string;
  readonly name: string;
  readonly sizeBytes: number;
  readonly sha256: string;
  /** The department's statements that went into it. */
  readonly checkpoints: readonly Sealed[];
}

export type WorkReply =
  | { readonly kind: 'sign'; readonly bytes: Uint8Array }
  | { readonly kind: 'progress'; readonly fraction: number; readonly stage: string }
  | { readonly kind: 'done'; readonly answer: WorkAnswer }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'failed'; readonly message: string; readonly code: string | null };
