/**
 * Since when a draft runs ahead of the trail, per entry. Memory only: what is still pending when the
 * program ends is told at the next start, from the draft's own revision numbers.
 */
export class PendingDrafts {
  readonly #since = new Map<string, string>();

  note(entryId: string, at: string): void {
    if (!this.#since.has(entryId)) this.#since.set(entryId, at);
  }
  since(entryId: string): string | null {
    return this.#since.get(entryId) ?? null;
  }
  told(entryId: string): void {
    this.#since.delete(entryId);
  }
  all(): readonly (readonly [string, string])[] {
    return [...this.#since];
  }
}
