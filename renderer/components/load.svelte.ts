import type { Refusal } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';

/** A reply that a page waits for: not there yet, there, or refused. Asking again keeps the old one shown. */
export class Load<T> {
  value: T | null = $state.raw(null);
  refusal: Refusal | null = $state.raw(null);
  isLoading = $state(false);
  #turn = 0;

  async run(ask: () => Promise<Result<T, Refusal>>): Promise<void> {
    const turn = ++this.#turn;
    this.isLoading = true;
    const reply = await ask();
    // A slower reply to an earlier question must not replace the newer one.
    if (turn !== this.#turn) return;
    this.isLoading = false;
    if (reply.ok) {
      this.value = reply.value;
      this.refusal = null;
    } else {
      this.refusal = reply.error;
    }
  }
}
