import type { EntryView, SessionView } from '../../core/contract/views.ts';
import type { Section } from '../../core/record/content.ts';
import type { Client } from '../client/client.ts';

/** Where one can be. Each has its own address after the `#`, so that back, forward and reload work. */
export type Place =
  | { readonly at: 'shelf' }
  | { readonly at: 'record'; readonly recordId: string }
  | { readonly at: 'new-entry'; readonly recordId: string }
  | { readonly at: 'entry'; readonly entryId: string; readonly section: Section | null }
  /** A signed version as it stood, to be read. */
  | { readonly at: 'version'; readonly entryId: string; readonly n: number }
  | { readonly at: 'bench'; readonly entryId: string }
  | {
      readonly at: 'versions';
      readonly entryId: string;
      /** Version numbers; null is the draft for `to`, and "the one before" for `from`. */
      readonly from: number | null;
      readonly to: number | null;
    }
  | { readonly at: 'tray' }
  /** A file from a notebook on another computer. */
  | { readonly at: 'take-in' }
  /** Made by the department, opened by anybody who has the file. */
  | { readonly at: 'deposits' }
  /** An entry of an opened deposit. */
  | { readonly at: 'deposit-entry'; readonly entryId: string }
  /** The handbook; null is its index. */
  | { readonly at: 'library'; readonly compoundId: string | null }
  | { readonly at: 'trail'; readonly entryId: string | null }
  | { readonly at: 'check' }
  | { readonly at: 'people' };

/** What a person is about to put their name to. */
export interface SigningRequest {
  readonly meaning: 'performed' | 'returned' | 'countersigned' | 'amended';
  readonly entry: EntryView;
}

/** Given to the screens that are mounted for a whole place. */
export interface ScreenProps {
  readonly client: Client;
  readonly session: SessionView;
  readonly onNavigate: (place: Place) => void;
}

/** Props of `features/spread/EntryScreen.svelte` and `features/bench/BenchScreen.svelte`. */
export interface EntryScreenProps extends ScreenProps {
  readonly entryId: string;
  /** Section to bring into view when the screen opens. */
  readonly section: Section | null;
  /**
   * Opens the signing dialog. Save what is unsaved first, and hand over the view with the newest
   * `revision`. Resolves with the entry as it then stands, or null when the person turned away.
   */
  readonly onOpenSigning: (request: SigningRequest) => Promise<EntryView | null>;
  /**
   * Hands over what saves unsaved typing (null when leaving). It is called and waited for before the
   * session locks or the place changes. After an idle lock the screen stays mounted, hidden and inert,
   * so that nothing typed is lost; it goes on when the same person signs in again.
   */
  readonly onSaver: (save: (() => Promise<void>) | null) => void;
  /** Makes a file of the entry: opens the dialog with progress, cancel and the link to the file. */
  readonly onBind: (entry: EntryView, as?: 'pdf' | 'hand-in') => void;
  /** Short notice at the foot of the window, read out politely; refusals in words go here too. */
  readonly onNotice: (text: string, kind?: 'done' | 'refused') => void;
}
