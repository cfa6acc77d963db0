import { tick } from 'svelte';
import { trayWalkOf, type TrayWalk } from '../../client/tray-walk.svelte.ts';
import { refusalSentence } from '../../client/refusal-sentence.ts';
import type { EntryScreenProps, SigningRequest } from '../../app/places.ts';
import type { EntryDraft } from '../../draft/entry-draft.svelte.ts';

export type Question = 'amend' | 'strike-out';

/** What can be done with an entry as a whole; each first brings what was typed into the notebook. */
export class EntryActions {
  readonly #draft: EntryDraft;
  readonly #props: EntryScreenProps;
  /** For those who read what was handed in. */
  readonly #walk: TrayWalk | null;
  isBusy: boolean = $state(false);
  /** A reason is being asked for. */
  asking: Question | null = $state(null);

  constructor(draft: EntryDraft, props: EntryScreenProps) {
    this.#draft = draft;
    this.#props = props;
    this.#walk = props.session.person.role === 'instructor' ? trayWalkOf(props.client) : null;
    void this.#walk?.refresh();
  }

  async sign(meaning: SigningRequest['meaning']): Promise<void> {
    await this.#busy(async () => {
      const entry = await this.#newest();
      if (entry === null) return;
      const after = await this.#props.onOpenSigning({ meaning, entry });
      if (after === null) return;
      this.#draft.replaceView(after);
      await this.#walk?.refresh();
      await tick();
      // One entry is read; Enter opens the next.
      document.getElementById('next-in-tray')?.focus();
    });
  }

  /** How many entries wait in the tray besides this one. */
  get waiting(): number {
    return this.#walk?.countBeside(this.#draft.view.id) ?? 0;
  }

  nextInTray(): void {
    const next = this.#walk?.after(this.#draft.view.id) ?? null;
    if (next !== null) this.#props.onNavigate({ at: 'entry', entryId: next.entryId, section: null });
  }

  async bind(): Promise<void> {
    await this.#draft.flush();
    this.#props.onBind(this.#draft.view);
  }

  /** The signed versions as a file for a notebook on another computer. */
  async handOn(): Promise<void> {
    await this.#draft.flush();
    this.#props.onBind(this.#draft.view, 'hand-in');
  }

  versions(): void {
    this.#props.onNavigate({ at: 'versions', entryId: this.#draft.view.id, from: null, to: null });
  }

  trail(): void {
    this.#props.onNavigate({ at: 'trail', entryId: this.#draft.view.id });
  }

  async bench(): Promise<void> {
    await this.#draft.flush();
    this.#props.onNavigate({ at: 'bench', entryId: this.#draft.view.id });
  }

  ask(question: Question): void {
    this.asking = question;
  }

  /** Amends or strikes out, with the reason; answers with why not, '' when done. */
  async answer(question: Question, reason: string): Promise<string> {
    await this.#draft.flush();
    const name = question === 'amend' ? 'entry.amend' : 'entry.strike-out';
    const reply = await this.#props.client.ask(name, { entryId: this.#draft.view.id, reason });
    if (!reply.ok) return refusalSentence(reply.error);
    this.#draft.replaceView(reply.value);
    this.asking = null;
    this.#props.onNotice(
      question === 'amend'
        ? 'Open for an amendment. The locked version stands beside it.'
        : 'Struck out. It stays readable.',
      'done',
    );
    return '';
  }

  async giveUpAmendment(): Promise<void> {
    await this.#busy(async () => {
      await this.#draft.flush();
      const entryId = this.#draft.view.id;
      const reply = await this.#props.client.ask('entry.abandon-amendment', { entryId });
      if (!reply.ok) return this.#props.onNotice(refusalSentence(reply.error), 'refused');
      this.#draft.replaceView(reply.value);
      this.#props.onNotice('The amendment is given up. The entry is locked again, as it was.', 'done');
    });
  }

  /** The entry as the notebook has it once everything typed is saved; null when saving was refused. */
  async #newest(): Promise<SigningRequest['entry'] | null> {
    await this.#draft.flush();
    if (this.#draft.hasUnsaved) {
      this.#props.onNotice('What is on the page could not be saved yet, so it cannot be signed.', 'refused');
      return null;
    }
    const reply = await this.#props.client.ask('entry.open', { entryId: this.#draft.view.id });
    if (!reply.ok) {
      this.#props.onNotice(refusalSentence(reply.error), 'refused');
      return null;
    }
    return reply.value;
  }

  async #busy(work: () => Promise<void>): Promise<void> {
    if (this.isBusy) return;
    this.isBusy = true;
    try {
      await work();
    } finally {
      this.isBusy = false;
    }
  }
}
