import type { UnitSymbol } from './unit.ts';

/** What a person typed, kept to the letter: `4.50` is not `4.5`. Parsed by `parseEntered`. */
export interface Entered {
  readonly text: string;
  readonly unit: UnitSymbol;
}

/** A number that is never without its unit. */
export interface Quantity {
  /** In `unit`, never rounded on the way; rounding belongs to display. */
  readonly value: number;
  readonly unit: UnitSymbol;
  /** Standard uncertainty (k = 1) in `unit`; null where nothing is known about it. */
  readonly standardUncertainty: number | null;
  /** Significant figures the value deserves; null for an exact number (a count, a coefficient). */
  readonly significantFigures: number | null;
}
