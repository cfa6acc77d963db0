/** Lets work on the same thing happen one after the other. */
export class Turns {
  readonly #last = new Map<string, Promise<unknown>>();

  async take<T>(key: string, work: () => Promise<T>): Promise<T> {
    const before = this.#last.get(key) ?? Promise.resolve();
    const mine = before.then(work, work);
    this.#last.set(key, mine);
    try {
      return await mine;
    } finally {
      if (this.#last.get(key) === mine) this.#last.delete(key);
    }
  }
}
