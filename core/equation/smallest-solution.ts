import { gcdOf, positiveSolution } from './linear.ts';
import type { Solutions } from './linear.ts';

/** Steps of the search before it gives up; a few tens of milliseconds. */
const mostSteps = 200_000;

export interface Smallest {
  readonly coefficients: readonly number[];
  /** False when the search was cut short and a smaller solution may exist. */
  readonly isProven: boolean;
}

interface Pivot {
  readonly column: number;
  readonly head: number;
  /** One weight per free unknown: head · x[column] = Σ weight · x[free]. */
  readonly weights: readonly number[];
}

/**
 * The positive whole solution whose largest coefficient is smallest, and among those the one of
 * smallest sum. The free unknowns are tried in all ways up to a limit that doubles until something is
 * found; then nothing smaller can exist, since every solution below the limit has been seen.
 *
 * @returns null when no positive solution exists
 */
export function smallestSolution(
  matrix: readonly (readonly bigint[])[],
  solutions: Solutions,
  columns: number,
): Smallest | null {
  const fallback = positiveSolution(matrix, columns);
  if (fallback === null) return null;
  const pivots: Pivot[] = solutions.pivots.map(({ column, row }) => ({
    column,
    head: Number(row[column]),
    weights: solutions.free.map((free) => -Number(row[free])),
  }));
  const search = new Search(solutions.free, pivots, columns);
  const ceiling = Number(fallback.reduce((most, value) => (value > most ? value : most), 0n));
  for (let limit = 4; ; limit = Math.min(limit * 2, ceiling)) {
    search.run(Math.min(limit, ceiling));
    if (search.best !== null || search.isCut || limit >= ceiling) break;
  }
  if (search.best !== null) return { coefficients: search.best, isProven: !search.isCut };
  const common = fallback.reduce((all, value) => gcdOf(all, value), 0n);
  const coefficients = fallback.map((value) => Number(value / common));
  return coefficients.every(Number.isSafeInteger) ? { coefficients, isProven: false } : null;
}

class Search {
  best: number[] | null = null;
  isCut = false;
  private bestMost = Infinity;
  private bestSum = Infinity;
  private steps = 0;
  private limit = 0;
  private readonly values: number[];
  private readonly free: readonly number[];
  private readonly pivots: readonly Pivot[];
  private readonly columns: number;

  constructor(free: readonly number[], pivots: readonly Pivot[], columns: number) {
    this.free = free;
    this.pivots = pivots;
    this.columns = columns;
    this.values = free.map(() => 0);
  }

  run(limit: number): void {
    this.limit = limit;
    this.place(
      0,
      this.pivots.map(() => 0),
    );
  }

  private place(depth: number, sums: readonly number[]): void {
    if (this.isCut) return;
    if (depth === this.free.length) {
      this.judge(sums);
      return;
    }
    const top = Math.min(this.limit, this.bestMost);
    for (let value = 1; value <= top; value += 1) {
      this.steps += 1;
      if (this.steps > mostSteps) {
        this.isCut = true;
        return;
      }
      this.values[depth] = value;
      const next = sums.map((sum, index) => sum + (this.pivots[index]?.weights[depth] ?? 0) * value);
      if (this.isReachable(depth + 1, next)) this.place(depth + 1, next);
    }
  }

  /** Whether every pivot can still come out between 1 and the limit, whatever the rest is. */
  private isReachable(depth: number, sums: readonly number[]): boolean {
    const top = Math.min(this.limit, this.bestMost);
    return this.pivots.every(({ head, weights }, index) => {
      let low = sums[index] ?? 0;
      let high = low;
      for (let rest = depth; rest < weights.length; rest += 1) {
        const weight = weights[rest] ?? 0;
        low += weight > 0 ? weight : weight * top;
        high += weight > 0 ? weight * top : weight;
      }
      return high >= head && low <= head * top;
    });
  }

  private judge(sums: readonly number[]): void {
    const found: number[] = Array.from({ length: this.columns }, () => 0);
    for (const [index, column] of this.free.entries()) found[column] = this.values[index] ?? 0;
    for (const [index, { column, head }] of this.pivots.entries()) {
      const sum = sums[index] ?? 0;
      if (sum <= 0 || sum % head !== 0) return;
      found[column] = sum / head;
    }
    const most = Math.max(...found);
    const sum = found.reduce((all, value) => all + value, 0);
    if (most > this.limit || most > this.bestMost || (most === this.bestMost && sum >= this.bestSum)) return;
    this.best = found;
    this.bestMost = most;
    this.bestSum = sum;
  }
}
