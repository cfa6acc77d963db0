/** The time of day as running clocks on the page show it: one timer for all of them, only while shown. */
class Ticking {
  now: number = $state(Date.now());
  #users = 0;
  #timer: ReturnType<typeof setInterval> | null = null;

  /** For a `$effect`: the clock runs until the returned function is called. */
  use(): () => void {
    this.#users += 1;
    this.now = Date.now();
    this.#timer ??= setInterval(() => (this.now = Date.now()), 1000);
    return () => {
      this.#users -= 1;
      if (this.#users > 0 || this.#timer === null) return;
      clearInterval(this.#timer);
      this.#timer = null;
    };
  }
}

export const ticking = new Ticking();
