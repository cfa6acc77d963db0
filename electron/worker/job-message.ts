import type { CheckReport, PersonView } from '../../core/contract/views.ts';
import type { Problem, Result } from '../../core/result.ts';

/** Work for a thread of its own. It reads the notebook through a connection of its own, and writes nothing. */
export type Work =
  | ({ readonly kind: 'entry-pdf'; readonly entryId: string } & Binding)
  | ({ readonly kind: 'record-pdf'; readonly recordId: string } & Binding)
  | { readonly kind: 'check'; readonly path: string; readonly pinnedKey: string | null };

interface Binding {
  readonly path: string;
  /** For whom: they get what they may read. */
  readonly person: PersonView;
  readonly at: string;
  readonly offsetMinutes: number;
}

export type WorkMessage = { readonly kind: 'begin'; readonly work: Work } | { readonly kind: 'cancel' };

export type WorkAnswer =
  | { readonly kind: 'pdf'; readonly bytes: Uint8Array; readonly name: string }
  | { readonly kind: 'check'; readonly result: Result<CheckReport, Problem> };

export type WorkReply =
  | { readonly kind: 'progress'; readonly fraction: number; readonly stage: string }
  | { readonly kind: 'done'; readonly answer: WorkAnswer }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'failed'; readonly message: string; readonly code: string | null };
