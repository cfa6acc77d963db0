import { SvelteMap } from 'svelte/reactivity';
import { refusalSentence } from '../../client/refusal-sentence.ts';
import type { Comment } from '../../../core/record/objects.ts';
import type { Section } from '../../../core/record/content.ts';
import type { Client } from '../../client/client.ts';
import type { EntryDraft } from '../../draft/entry-draft.svelte.ts';

const spot = (section: Section, anchor: string | null): string => `${section}/${anchor ?? ''}`;

/** The instructor's comments in the margin: where they stand, which are open, writing and settling. */
export class CommentBook {
  readonly #draft: EntryDraft;
  readonly #client: Client;
  /** Spots a person opened or closed by hand; the others show what is not settled. */
  readonly #opened = new SvelteMap<string, boolean>();
  /** The spot a comment is being written at. */
  writingAt: string | null = $state(null);
  refusal: string = $state('');
  /** The comment somebody asked to be led to; the spread turns to its page and takes it from here. */
  wanted: string | null = $state(null);

  canAdd = $derived.by(() => this.#draft.view.permissions.canComment);

  constructor(draft: EntryDraft, client: Client) {
    this.#draft = draft;
    this.#client = client;
  }

  at(section: Section, anchor: string | null): readonly Comment[] {
    return this.#draft.view.comments.filter(
      (comment) => comment.section === section && this.#place(comment) === anchor,
    );
  }

  isOpen(section: Section, anchor: string | null): boolean {
    const key = spot(section, anchor);
    return this.#opened.get(key) ?? this.at(section, anchor).some((comment) => !comment.isSettled);
  }

  toggle(section: Section, anchor: string | null): void {
    this.#opened.set(spot(section, anchor), !this.isOpen(section, anchor));
  }

  /** Opens the spot of a comment and asks the spread to turn there. */
  lead(commentId: string): void {
    const comment = this.#draft.view.comments.find((one) => one.id === commentId);
    if (comment === undefined) return;
    this.#opened.set(spot(comment.section, this.#place(comment)), true);
    this.wanted = commentId;
  }

  isWriting(section: Section, anchor: string | null): boolean {
    return this.writingAt === spot(section, anchor);
  }

  write(section: Section, anchor: string | null): void {
    this.refusal = '';
    this.writingAt = spot(section, anchor);
    this.#opened.set(spot(section, anchor), true);
  }

  stopWriting(): void {
    this.writingAt = null;
    this.refusal = '';
  }

  async add(section: Section, anchor: string | null, text: string): Promise<boolean> {
    const { view } = this.#draft;
    const reply = await this.#client.ask('comment.add', { entryId: view.id, section, anchor, text });
    if (!reply.ok) {
      this.refusal = refusalSentence(reply.error);
      return false;
    }
    this.#lay([...this.#draft.view.comments, reply.value]);
    this.writingAt = null;
    return true;
  }

  async settle(commentId: string): Promise<boolean> {
    const reply = await this.#client.ask('comment.settle', { commentId });
    if (!reply.ok) {
      this.refusal = refusalSentence(reply.error);
      return false;
    }
    this.#lay(this.#draft.view.comments.map((c) => (c.id === commentId ? reply.value : c)));
    return true;
  }

  /** A comment on a row or step that has since gone is shown at its section, never lost. */
  #place(comment: Comment): string | null {
    const { anchor } = comment;
    if (anchor === null) return null;
    const { rows, steps } = this.#draft.content;
    const isThere = rows.some((row) => row.id === anchor) || steps.some((step) => step.id === anchor);
    return isThere ? anchor : null;
  }

  #lay(comments: readonly Comment[]): void {
    this.#draft.refreshAround({ ...this.#draft.view, comments });
  }
}
