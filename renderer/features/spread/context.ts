import { createContext } from 'svelte';
import type { Working } from '../../../core/workings/working.ts';
import type { SessionView } from '../../../core/contract/views.ts';
import type { Client } from '../../client/client.ts';
import type { EntryDraft } from '../../draft/entry-draft.svelte.ts';
import type { Place } from '../../app/places.ts';
import type { EarlierEntries } from './earlier-entries.svelte.ts';
import type { CommentBook } from './comment-book.svelte.ts';

/** What every part of a spread needs; given once by `EntryScreen`. */
export interface SpreadContext {
  readonly draft: EntryDraft;
  readonly client: Client;
  readonly comments: CommentBook;
  readonly earlier: EarlierEntries;
  readonly session: SessionView;
  /** Opens the workings beside the number that was pressed. */
  readonly onOpenWorking: (working: Working, anchor: HTMLElement) => void;
  readonly onNavigate: (place: Place) => void;
  readonly onNotice: (text: string, kind?: 'done' | 'refused') => void;
}

export const [getSpread, setSpread] = createContext<SpreadContext>();
