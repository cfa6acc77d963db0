import type { Clock } from '../program.ts';

/** A clock that stands where the story stands, and goes on by a few seconds at every look. */
export class DemoClock implements Clock {
  readonly #real: Clock;
  #ms: number;

  constructor(real: Clock, startMs: number) {
    this.#real = real;
    this.#ms = startMs;
  }
  /** Never back, and never past the real present: the trail must not have to tell of a clock set back. */
  moveTo(ms: number): void {
    this.#ms = Math.min(Math.max(this.#ms, ms), Date.parse(this.#real.now()));
  }
  now(): string {
    this.moveTo(this.#ms + 1_700);
    return new Date(this.#ms).toISOString();
  }
  offsetMinutes(): number {
    return this.#real.offsetMinutes();
  }
  monotonicMs(): number {
    return this.#real.monotonicMs();
  }
}
