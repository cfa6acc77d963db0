import type { Clock } from './program.ts';

/** Since when, by a clock that cannot be set, this program knows of each person's last wrong passphrase. */
export class RefusedTries {
  readonly #known = new Map<string, { readonly at: string; readonly monotonicMs: number }>();

  /**
   * Seconds since the wrong passphrase of `at` was first asked about here. A start of the program begins
   * anew, so it never shortens a wait.
   */
  secondsKnown(personId: string, at: string, clock: Clock): number {
    const monotonicMs = clock.monotonicMs();
    const known = this.#known.get(personId);
    if (known?.at === at) return (monotonicMs - known.monotonicMs) / 1000;
    this.#known.set(personId, { at, monotonicMs });
    return 0;
  }
}
