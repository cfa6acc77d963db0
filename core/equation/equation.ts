import type { Problem } from '../result.ts';
import type { Formula } from '../formula/formula.ts';
import type { Rational } from '../formula/typed-fraction.ts';

export type Side = 'left' | 'right';

/** One substance of an equation. */
export interface Species {
  /** Formula as typed, without coefficient and state: `CuSO4·5H2O`. */
  readonly text: string;
  readonly formula: Formula;
  readonly side: Side;
  /** As typed, a fraction where one was; null when none was typed. */
  readonly typed: Rational | null;
  /** `s`, `l`, `g`, `aq` … as typed; it plays no part. */
  readonly state: string;
  /** Where the species begins in the equation's text. */
  readonly position: number;
}

export interface Equation {
  readonly text: string;
  /** Left side first, in the order typed. */
  readonly species: readonly Species[];
  readonly arrow: '→' | '⇌';
}

/** One conserved thing on both sides: an element, an isotope (`13C`) or the charge. */
export interface Conserved {
  /** Symbol, or `charge`. */
  readonly what: string;
  readonly left: number;
  readonly right: number;
}

/**
 * What balancing found. `as-typed`: the coefficients typed (or all ones) already balance and are
 * kept. `unique`: one solution up to a factor. `not-unique`: several independent ones, the smallest
 * is given. `impossible`: none with every coefficient positive.
 */
export interface Balance {
  readonly kind: 'as-typed' | 'unique' | 'not-unique' | 'impossible';
  /** One positive whole number per species, left side first; empty when impossible. */
  readonly coefficients: readonly number[];
  /** Number of independent solutions. */
  readonly independentSolutions: number;
  /** Where the equation as typed (blank coefficients counting one) is out of balance; empty when it is not. */
  readonly imbalance: readonly Conserved[];
  /** What a reader should know: why impossible, that other solutions exist, how to choose. */
  readonly explanation: readonly Problem[];
}
