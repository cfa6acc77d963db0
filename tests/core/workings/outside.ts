import { create, all } from 'mathjs';
import type { Working } from '../../../core/workings/working.ts';

/**
 * An evaluator that shares no code with ours. The natural logarithm goes by the name formulas use;
 * min and max compare exactly, where mathjs takes nearly equal numbers for equal.
 */
if (all === undefined) throw new Error('mathjs came without its functions');
const math = create(all);
math.import(
  {
    ln: (x: number) => Math.log(x),
    min: (...values: number[]) => Math.min(...values),
    max: (...values: number[]) => Math.max(...values),
  },
  { override: true },
);

export const evaluateOutside = (formula: string, scope: Readonly<Record<string, number>>): unknown =>
  math.evaluate(formula, { ...scope }) as unknown;

/** A working computed once more from what it prints: formula and terms. */
export const recompute = (working: Working): number =>
  Number(
    evaluateOutside(
      working.formula,
      Object.fromEntries(working.terms.map((term) => [term.key, term.quantity.value])),
    ),
  );

/** Small seeded generator (mulberry32), so that a Monte Carlo run is the same every time. */
export function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Standard normal deviates by the polar method of Box and Muller. */
export function normal(seed: number): () => number {
  const next = uniform(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}
