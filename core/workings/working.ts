import type { Contribution } from '../quantity/contribution.ts';
import type { Quantity } from '../quantity/quantity.ts';

/** Where a number in a derivation comes from. */
export type TermSource =
  | { readonly kind: 'entered'; readonly where: string }
  | { readonly kind: 'constant'; readonly citation: string }
  | { readonly kind: 'working'; readonly id: string };

export interface WorkingTerm {
  /** Identifier used in `Working.formula`: letters, digits and `_` only. */
  readonly key: string;
  /** How it is printed, in light markup: `_{…}` subscript, `^{…}` superscript: `n_{lim}`. */
  readonly symbol: string;
  /** In words: "amount of salicylic acid taken". */
  readonly meaning: string;
  readonly quantity: Quantity;
  readonly source: TermSource;
  /** What the uncertainty of `quantity` is made of, in its unit; empty when exact or unknown. */
  readonly contributions: readonly Contribution[];
}

/** Share of one source in the variance of a result; the shares of a budget add up to 1. */
export interface BudgetLine {
  readonly source: string;
  readonly share: number;
}

/** What decided the digits of a result; `workingLines` says it in words. */
export type Rounding =
  | 'exact'
  | 'uncertainty'
  /** No instrument was named: the half steps of the last digits typed decide. */
  | 'last-digits'
  | 'fewest-figures'
  | 'decimal-places'
  | 'both-rules'
  | 'given';

/**
 * One computed number, explained so that a student can redo it by hand, and so that another
 * program can redo it too: `formula` is plain arithmetic over the terms' keys
 * (+ - * / ^ parentheses, sqrt, ln, log10, exp, abs, min, max), in the terms' own units, and gives
 * `result.value`. Built by `derive`; the budget and the printed lines are made when asked for
 * (`budgetOf`, `workingLines`), because a table is recomputed at every keystroke.
 */
export interface Working {
  /** Unique within a table: `theoretical-yield`, `amount:row-3:taken`. */
  readonly id: string;
  readonly title: string;
  /** Symbol of the result, same light markup as `WorkingTerm.symbol`. */
  readonly symbol: string;
  readonly formula: string;
  /** The formula as printed, light markup: `m_{theo} = ξ_{lim} · ν · M`. */
  readonly display: string;
  readonly terms: readonly WorkingTerm[];
  readonly result: Quantity;
  /** What the result's uncertainty is made of, in its unit, one line per base source. */
  readonly contributions: readonly Contribution[];
  readonly rounding: Rounding;
  /** Where the formula comes from. */
  readonly citation: string;
  readonly notes: readonly string[];
}
