import { computeEntry } from '../../core/entry/compute-entry.ts';
import type { EntryView } from '../../core/contract/views.ts';
import type { EntryContent } from '../../core/record/content.ts';
import type { InputOf } from '../../core/contract/request-map.ts';
import type { Answer, Client } from '../client/client.ts';
import { asSigned, type AsSigned } from './as-signed.ts';
import { DraftSaver, type SaveState } from './draft-saver.ts';
import { dropStash, readStash, stash } from './draft-stash.ts';
import type { Edit, Restructuring } from './edits.ts';

/** An entry on the screen: its content, what follows from it, and how it stands with the notebook. */
export class EntryDraft {
  view: EntryView = $state.raw(undefined as never);
  content: EntryContent = $state.raw(undefined as never);
  saving: SaveState = $state.raw({ kind: 'saved', at: '' });
  /** The other draft, once the notebook said that there is one. */
  other: EntryView | null = $state.raw(null);
  /** What the newest signed version says otherwise than today's rules; null while it may be edited. */
  signed: AsSigned | null = $state.raw(null);
  /** Structural changes that can be taken back, the latest last. */
  undoable: readonly Restructuring[] = $state.raw([]);
  /** True right after typing that never reached the notebook was taken up again. */
  isTakenUp: boolean = $state(false);

  computation = $derived(computeEntry(this.content));
  canEdit = $derived(this.view.permissions.canEdit);

  /** Resolves once it is known how a signed entry stands with its signed values: show it no sooner. */
  readonly held: Promise<void>;

  readonly #client: Client;
  readonly #personId: string;
  #saver: DraftSaver;

  constructor(view: EntryView, client: Client, personId: string) {
    this.#client = client;
    this.#personId = personId;
    this.view = view;
    this.content = view.content;
    this.held = this.#holdAgainstSigned();
    const left = view.permissions.canEdit ? readStash(view.id, personId) : null;
    // With the stash's own revision the notebook itself tells whether somebody saved in between.
    this.#saver = this.#saverFor(left === null ? view : { ...view, revision: left.revision });
    if (left !== null) this.#takeUp(left.content);
  }

  /** Typing: changes the content and lets the saver pick the moment. */
  change(edit: Edit): void {
    if (!this.canEdit) return;
    this.content = edit(this.content);
    this.#saver.touched(this.content);
  }

  /** A structural change: saved at once, and can be taken back. */
  restructure(change: Restructuring | null): void {
    if (change === null || !this.canEdit) return;
    this.change(change.apply);
    this.undoable = [...this.undoable.slice(-19), change];
    void this.#saver.flush();
  }

  /**
   * Attaches a file; what is typed meanwhile waits its turn and is kept.
   *
   * @returns why not, in the notebook's words, or what there is to say about the file
   */
  async attach(
    file: Omit<InputOf<'attachment.add'>, 'entryId' | 'revision'>,
  ): Promise<Answer<'attachment.add'> | null> {
    let answer: Answer<'attachment.add'> | null = null;
    await this.#saver.inTurn(async (revision) => {
      const reply = await this.#client.ask('attachment.add', { entryId: this.view.id, revision, ...file });
      answer = reply;
      if (!reply.ok) return null;
      this.content = { ...this.content, attachments: [...this.content.attachments, reply.value.note] };
      if (this.#saver.pending !== null) this.#saver.touched(this.content);
      return reply.value;
    });
    return answer;
  }

  undo(): Restructuring | null {
    const last = this.undoable.at(-1);
    if (last === undefined) return null;
    this.undoable = this.undoable.slice(0, -1);
    this.change(last.revert);
    void this.#saver.flush();
    return last;
  }

  /** True while something on the page is not yet in the notebook. */
  get hasUnsaved(): boolean {
    return this.#saver.isDirty;
  }

  flush(): Promise<void> {
    return this.#saver.flush();
  }

  /** The page is about to go: save if the transport still can, and keep a copy for the next load. */
  leave(): void {
    const pending = this.#saver.pending;
    if (pending === null) return;
    stash(this.view.id, { personId: this.#personId, revision: this.#saver.revision, content: pending });
    void this.#saver.flush();
  }

  dispose(): void {
    this.leave();
    this.#saver.dispose();
  }

  /** Replaces the whole entry by what the notebook answered (after signing, returning …). */
  replaceView(view: EntryView): void {
    this.#saver.dispose();
    this.view = view;
    this.content = view.content;
    this.undoable = [];
    this.other = null;
    this.#saver = this.#saverFor(view);
    void this.#holdAgainstSigned();
  }

  /** Takes over comments, versions and permissions; the draft being written stays as it is. */
  refreshAround(view: EntryView): void {
    this.view = { ...view, content: this.view.content };
  }

  /** Two drafts met: the one on this page stands, and is saved over the other. */
  keepMine(): void {
    if (this.other === null) return;
    const mine = this.content;
    this.#saver.adopt(this.other.revision, this.other.savedAt);
    this.view = { ...this.other, content: mine };
    this.other = null;
    this.#saver.touched(mine);
    void this.#saver.flush();
  }

  /** Two drafts met: the other one stands; this page's own can still be taken back by undo. */
  takeTheirs(): void {
    if (this.other === null) return;
    const mine = this.content;
    const theirs = this.other.content;
    this.#saver.adopt(this.other.revision, this.other.savedAt);
    this.view = this.other;
    this.content = theirs;
    this.other = null;
    this.undoable = [{ label: 'took the other draft', apply: () => theirs, revert: () => mine }];
    dropStash(this.view.id);
  }

  #saverFor(view: EntryView): DraftSaver {
    return new DraftSaver({
      revision: view.revision,
      savedAt: view.savedAt,
      save: (revision, content) => this.#client.ask('draft.save', { entryId: view.id, revision, content }),
      onState: (state) => {
        this.saving = state;
        if (state.kind === 'elsewhere') void this.#fetchOther();
      },
      onSaved: () => {
        dropStash(view.id);
        this.isTakenUp = false;
      },
    });
  }

  /** A signed version shows the values frozen in it: see `asSigned`. */
  async #holdAgainstSigned(): Promise<void> {
    const { view } = this;
    const last = view.versions.at(-1);
    // The values of the version before stay until those of this one are known.
    if (view.permissions.canEdit || last === undefined || view.state === 'struck-out') {
      this.signed = null;
      return;
    }
    const reply = await this.#client.ask('version.read', { entryId: view.id, n: last.n });
    if (reply.ok && this.view.id === view.id) this.signed = asSigned(reply.value.computed, this.computation);
  }

  async #fetchOther(): Promise<void> {
    const reply = await this.#client.ask('entry.open', { entryId: this.view.id });
    if (!reply.ok) return;
    if (!reply.value.permissions.canEdit) {
      this.saving = {
        kind: 'refused',
        refusal: { code: 'entry-locked', where: '', facts: {} },
        retryInMs: null,
      };
      return;
    }
    this.other = reply.value;
  }

  #takeUp(content: EntryContent): void {
    dropStash(this.view.id);
    if (JSON.stringify(content) === JSON.stringify(this.view.content)) {
      this.#saver.adopt(this.view.revision, this.view.savedAt);
      return;
    }
    this.isTakenUp = true;
    this.content = content;
    this.#saver.touched(content);
  }
}
