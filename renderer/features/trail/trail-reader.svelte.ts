import type { Refusal } from '../../../core/contract/contract.ts';
import type { InputOf } from '../../../core/contract/request-map.ts';
import type { TrailLine } from '../../../core/contract/views.ts';
import type { Client } from '../../client/client.ts';
import { dayOf } from '../../components/moment.ts';

const pageLength = 60;
const pauseMs = 250;

/** Reads the trail page by page, newest first, under a filter. */
export class TrailReader {
  readonly #client: Client;
  readonly #entryId: string | null;
  lines: readonly TrailLine[] = $state.raw([]);
  total = $state(0);
  text = $state('');
  action = $state('');
  isLoading = $state(false);
  hasRead = $state(false);
  refusal: Refusal | null = $state.raw(null);
  hasMore = $derived.by(() => this.lines.length < this.total);
  #turn = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(client: Client, entryId: string | null) {
    this.#client = client;
    this.#entryId = entryId;
  }

  /** What is asked for: the entry, the action, the words. */
  get filter(): InputOf<'trail.export'> {
    const text = this.text.trim();
    return {
      entryId: this.#entryId,
      action: this.action === '' ? null : this.action,
      text: text === '' ? null : text,
    };
  }

  read(): Promise<void> {
    return this.#ask(null);
  }

  readMore(): Promise<void> {
    return this.#ask(this.lines.at(-1)?.seq ?? null);
  }

  /** Waits for a pause in typing. */
  setText(text: string): void {
    this.text = text;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.read(), pauseMs);
  }

  setAction(action: string): void {
    this.action = action;
    void this.read();
  }

  leave(): void {
    clearTimeout(this.#timer);
  }

  dayOf(line: TrailLine): string {
    return dayOf(line.at, line.offsetMinutes);
  }

  async #ask(before: number | null): Promise<void> {
    const turn = ++this.#turn;
    this.isLoading = true;
    const reply = await this.#client.ask('trail.list', { ...this.filter, before, limit: pageLength });
    if (turn !== this.#turn) return;
    this.isLoading = false;
    this.hasRead = true;
    if (!reply.ok) {
      this.refusal = reply.error;
      return;
    }
    this.refusal = null;
    this.lines = before === null ? reply.value.lines : [...this.lines, ...reply.value.lines];
    this.total = reply.value.total;
  }
}
