import type { Clock } from '../../../electron/services/program.ts';

/** A clock that goes on a little at every look, and otherwise only when it is told to. */
export class TestClock implements Clock {
  #ms: number;
  #monotonicMs = 1_000;
  readonly #offset: number;

  constructor(start = '2027-03-09T13:00:00.000Z', offset = 60) {
    this.#ms = Date.parse(start);
    this.#offset = offset;
  }
  now(): string {
    this.#ms += 10;
    return new Date(this.#ms).toISOString();
  }
  offsetMinutes(): number {
    return this.#offset;
  }
  monotonicMs(): number {
    return this.#monotonicMs;
  }
  /** Both clocks go on. */
  pass(seconds: number): void {
    this.#ms += seconds * 1000;
    this.#monotonicMs += seconds * 1000;
  }
  /** Somebody sets the computer's clock. */
  setTo(instant: string): void {
    this.#ms = Date.parse(instant);
  }
}
