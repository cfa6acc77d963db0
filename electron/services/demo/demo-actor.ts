import type { InputOf, ReplyOf, RequestName } from '../../../core/contract/request-map.ts';
import type { EntryView } from '../../../core/contract/views.ts';
import type { EntryContent, Section } from '../../../core/record/content.ts';
import type { Dispatch } from '../dispatcher.ts';
import { demoPassphrase } from './people.ts';

/** Somebody of the demo at their own window, asking what a screen would ask. */
export class DemoActor {
  readonly #dispatch: Dispatch;
  readonly #client: string;

  constructor(dispatch: Dispatch, client: string) {
    this.#dispatch = dispatch;
    this.#client = client;
  }

  /** @throws for a refusal: the story is written so that there is none */
  async ask<K extends RequestName>(name: K, input: InputOf<K>): Promise<ReplyOf<K>> {
    const reply = await this.#dispatch(name, input, { client: this.#client });
    if (reply.ok) return reply.value as ReplyOf<K>;
    throw new Error(`the demo was refused: ${name}, ${reply.error.code} ${reply.error.where}`);
  }

  signIn(personId: string): Promise<unknown> {
    return this.ask('session.open', { personId, passphrase: demoPassphrase });
  }

  /** Saves over the newest draft. */
  async save(entryId: string, content: EntryContent): Promise<void> {
    const { revision } = await this.ask('entry.open', { entryId });
    await this.ask('draft.save', { entryId, revision, content });
  }

  async sign(entryId: string): Promise<EntryView> {
    const { versionHash } = await this.ask('signing.read', { entryId, meaning: 'performed' });
    const { revision } = await this.ask('entry.open', { entryId });
    return this.ask('entry.sign', { entryId, revision, versionHash, passphrase: demoPassphrase });
  }

  comment(entryId: string, section: Section, anchor: string | null, text: string): Promise<unknown> {
    return this.ask('comment.add', { entryId, section, anchor, text });
  }

  async giveBack(entryId: string, remark: string): Promise<EntryView> {
    const { versionHash } = await this.ask('signing.read', { entryId, meaning: 'returned' });
    return this.ask('entry.return', { entryId, versionHash, remark, passphrase: demoPassphrase });
  }

  async countersign(entryId: string, mark: string): Promise<EntryView> {
    const { versionHash } = await this.ask('signing.read', { entryId, meaning: 'countersigned' });
    return this.ask('entry.countersign', { entryId, versionHash, mark, passphrase: demoPassphrase });
  }
}
