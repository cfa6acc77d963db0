import { parseEntered } from '../../../../core/quantity/entered.ts';
import type { Entered, Quantity } from '../../../../core/quantity/quantity.ts';
import type { Yields } from '../../../../core/reaction/yields.ts';

/** Found yield less the expected one, in percentage points; null until both are known. */
export function yieldAgainstExpected(yields: Yields, expected: Entered | null): Quantity | null {
  const found = yields.pure.state === 'known' ? yields.pure : yields.crude;
  if (found.state !== 'known' || expected === null) return null;
  const parsed = parseEntered(expected, 'fraction', 'expectedYield');
  if (!parsed.ok) return null;
  const value = found.quantity.value - parsed.value.value;
  const figures = Math.abs(value) >= 9.5 ? 2 : 1;
  return { value, unit: '%', standardUncertainty: null, significantFigures: figures };
}
