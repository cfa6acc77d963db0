import type { Refusal } from '../../core/contract/contract.ts';
import type { EntryContent } from '../../core/record/content.ts';
import type { Result } from '../../core/result.ts';

/** How a draft stands with the notebook, as the head strip tells it. */
export type SaveState =
  | { readonly kind: 'saved'; readonly at: string }
  | { readonly kind: 'unsaved' }
  | { readonly kind: 'saving' }
  /** Kept on the page, refused by the notebook; tried again by itself after `retryInMs`. */
  | { readonly kind: 'refused'; readonly refusal: Refusal; readonly retryInMs: number | null }
  /** Somebody, or another window, saved in between; a person has to choose. */
  | { readonly kind: 'elsewhere' };

type Saved = { readonly revision: number; readonly savedAt: string };
type Timer = ReturnType<typeof setTimeout>;

interface Options {
  readonly revision: number;
  readonly savedAt: string;
  readonly save: (revision: number, content: EntryContent) => Promise<Result<Saved, Refusal>>;
  readonly onState: (state: SaveState) => void;
  /** Called after each accepted save with the content that is now in the notebook. */
  readonly onSaved?: (content: EntryContent) => void;
}

/** Save after this pause in typing. */
export const pauseMs = 600;
/** Save at least this often while typing goes on: with the saving itself, within two seconds. */
export const longestMs = 1700;
const retryMs = [2000, 4000, 8000, 15_000, 30_000];
/** Trying again by itself cannot help with these. */
const needsPerson = new Set(['draft-changed-elsewhere', 'entry-locked', 'not-allowed', 'not-found']);

/**
 * Brings the draft to the notebook: one save at a time, the newest content always last, nothing
 * dropped on a refusal. A plain class: the screens' state hangs on `onState`.
 */
export class DraftSaver {
  #options: Options;
  #revision: number;
  #latest: EntryContent | null = null;
  #inFlight: Promise<void> | null = null;
  #pause: Timer | null = null;
  #longest: Timer | null = null;
  #retry: Timer | null = null;
  #failures = 0;
  #isHalted = false;
  #isDisposed = false;

  constructor(options: Options) {
    this.#options = options;
    this.#revision = options.revision;
    options.onState({ kind: 'saved', at: options.savedAt });
  }

  get revision(): number {
    return this.#revision;
  }

  /** True while something typed is not yet in the notebook. */
  get isDirty(): boolean {
    return this.#latest !== null || this.#inFlight !== null;
  }

  /** Content typed but not yet accepted by the notebook; null when there is none. */
  get pending(): EntryContent | null {
    return this.#latest;
  }

  touched(content: EntryContent): void {
    this.#latest = content;
    if (this.#isHalted) return;
    if (this.#inFlight === null && this.#failures === 0) this.#options.onState({ kind: 'unsaved' });
    clear(this.#pause);
    this.#pause = setTimeout(() => void this.flush(), pauseMs);
    this.#longest ??= setTimeout(() => void this.flush(), longestMs);
  }

  /** Saves what is pending now; resolves when it is in the notebook or has been refused. */
  async flush(): Promise<void> {
    clear(this.#pause);
    clear(this.#longest);
    this.#pause = this.#longest = null;
    if (this.#inFlight !== null) {
      // The save under way settles first; what was typed since goes right after it.
      await this.#inFlight;
      if (this.#latest !== null && !this.#isHalted && this.#failures === 0) await this.flush();
      return;
    }
    const content = this.#latest;
    if (content === null || this.#isHalted) return;
    this.#inFlight = this.#send(content).finally(() => (this.#inFlight = null));
    await this.#inFlight;
  }

  /**
   * Another change to the draft, by a request of its own, in its turn between two saves.
   *
   * @param change told the revision to build on; answers with the new one, or null when it was refused
   */
  async inTurn(change: (revision: number) => Promise<Saved | null>): Promise<void> {
    await this.flush();
    while (this.#inFlight !== null) await this.#inFlight;
    const work = async (): Promise<void> => {
      const saved = await change(this.#revision);
      if (saved === null) return;
      this.#revision = saved.revision;
      if (this.#latest === null) this.#options.onState({ kind: 'saved', at: saved.savedAt });
    };
    this.#inFlight = work().finally(() => (this.#inFlight = null));
    await this.#inFlight;
    if (this.#latest !== null) await this.flush();
  }

  /** Goes on from another revision, after the person has chosen which content stands. */
  adopt(revision: number, savedAt: string): void {
    this.#revision = revision;
    this.#latest = null;
    this.#isHalted = false;
    this.#failures = 0;
    clear(this.#retry);
    this.#options.onState({ kind: 'saved', at: savedAt });
  }

  dispose(): void {
    this.#isDisposed = true;
    clear(this.#pause);
    clear(this.#longest);
    clear(this.#retry);
  }

  async #send(content: EntryContent): Promise<void> {
    if (this.#failures === 0) this.#options.onState({ kind: 'saving' });
    const reply = await this.#options.save(this.#revision, content);
    if (reply.ok) {
      this.#revision = reply.value.revision;
      this.#failures = 0;
      if (this.#latest === content) this.#latest = null;
      this.#options.onSaved?.(content);
      this.#options.onState(
        this.#latest === null ? { kind: 'saved', at: reply.value.savedAt } : { kind: 'unsaved' },
      );
      return;
    }
    if (reply.error.code === 'draft-changed-elsewhere') {
      this.#isHalted = true;
      this.#options.onState({ kind: 'elsewhere' });
      return;
    }
    if (needsPerson.has(reply.error.code)) {
      this.#isHalted = true;
      this.#options.onState({ kind: 'refused', refusal: reply.error, retryInMs: null });
      return;
    }
    const wait = retryMs[Math.min(this.#failures, retryMs.length - 1)] ?? 30_000;
    this.#failures += 1;
    this.#options.onState({ kind: 'refused', refusal: reply.error, retryInMs: wait });
    clear(this.#retry);
    if (!this.#isDisposed) this.#retry = setTimeout(() => void this.flush(), wait);
  }
}

function clear(timer: Timer | null): void {
  if (timer !== null) clearTimeout(timer);
}
