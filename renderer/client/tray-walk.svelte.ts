import type { TrayLine } from '../../core/contract/views.ts';
import type { Client } from './client.ts';

/** A way through the tray: which entry comes after the one that was just read, in the order it was laid out in. */
export class TrayWalk {
  readonly #client: Client;
  #order: readonly string[] = [];
  #lines: readonly TrayLine[] = $state.raw([]);

  constructor(client: Client) {
    this.#client = client;
  }

  /** The tray as it lies on the screen, sorted and searched: that is the order to go on in. */
  laidOut(lines: readonly TrayLine[]): void {
    this.#order = lines.map((line) => line.entryId);
  }

  /** Asks anew what waits; what was known before stays where that is refused. */
  async refresh(): Promise<void> {
    const read = await this.#client.ask('tray.list', {});
    if (read.ok) this.#lines = read.value.lines;
  }

  /** How many wait besides that entry. */
  countBeside(entryId: string): number {
    return this.#lines.filter((line) => line.entryId !== entryId).length;
  }

  /** The entry to read after that one: the next as laid out, from the beginning again, else the longest waiting. */
  after(entryId: string): TrayLine | null {
    const waiting = this.#lines.filter((line) => line.entryId !== entryId);
    const at = this.#order.indexOf(entryId);
    const inOrder = [...this.#order.slice(at + 1), ...this.#order.slice(0, at + 1)];
    for (const id of inOrder) {
      const found = waiting.find((line) => line.entryId === id);
      if (found !== undefined) return found;
    }
    return waiting.toSorted((a, b) => a.handedInAt.localeCompare(b.handedInAt))[0] ?? null;
  }
}

const walks = new WeakMap<Client, TrayWalk>();

/** One walk for one way out: the tray lays it out, the entries go along it. */
export function trayWalkOf(client: Client): TrayWalk {
  const known = walks.get(client);
  if (known !== undefined) return known;
  const walk = new TrayWalk(client);
  walks.set(client, walk);
  return walk;
}
