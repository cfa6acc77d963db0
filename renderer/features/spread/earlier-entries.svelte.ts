import { rowFromEntry } from '../../../core/entry/origin-of.ts';
import { linesOf } from '../../../core/reaction/overall-yield.ts';
import type { IndexLine } from '../../../core/contract/views.ts';
import { refusalSentence } from '../../client/refusal-sentence.ts';
import type { Client } from '../../client/client.ts';
import { patchRow } from '../../draft/edits.ts';
import type { EntryDraft } from '../../draft/entry-draft.svelte.ts';

/** The other entries of the record: a row's substance may have been made in one of them. */
export class EarlierEntries {
  readonly #draft: EntryDraft;
  readonly #client: Client;
  lines: readonly IndexLine[] | null = $state.raw(null);
  refusal: string = $state('');

  constructor(draft: EntryDraft, client: Client) {
    this.#draft = draft;
    this.#client = client;
  }

  /** Reads the index page once; a struck-out entry gives nothing to go on with. */
  async load(): Promise<void> {
    if (this.lines !== null) return;
    const reply = await this.#client.ask('record.open', { recordId: this.#draft.view.recordId });
    if (!reply.ok) {
      this.refusal = refusalSentence(reply.error);
      return;
    }
    this.lines = reply.value.lines.filter(
      (line) => line.entryId !== this.#draft.view.id && line.state !== 'struck-out',
    );
  }

  /** Puts the product of that entry into the row, with what is remembered of where it came from. */
  async takeInto(rowId: string, entryId: string): Promise<void> {
    const reply = await this.#client.ask('entry.open', { entryId });
    const row = this.#draft.content.rows.find((one) => one.id === rowId);
    if (!reply.ok || row === undefined) {
      this.refusal = reply.ok ? '' : refusalSentence(reply.error);
      return;
    }
    const { id, recordId, number, content } = reply.value;
    // An entry cannot be made of what is made of it.
    const before = content.rows.flatMap(linesOf).flat();
    if (before.some((stage) => stage.entryId === this.#draft.view.id)) {
      this.refusal = `Entry ${number} is itself made from this entry.`;
      return;
    }
    const filled = rowFromEntry(row, { recordId, entryId: id, number }, content);
    if (filled === null) {
      this.refusal = `Entry ${number} marks no row as its product.`;
      return;
    }
    this.refusal = '';
    this.#draft.restructure({
      label: `took the product of entry ${number}`,
      apply: patchRow(rowId, filled),
      revert: patchRow(rowId, row),
    });
  }

  forget(rowId: string): void {
    this.#draft.change(patchRow(rowId, { origin: null }));
  }
}
