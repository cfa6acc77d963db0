import type { BudgetLine, Working } from './working.ts';

/**
 * How much of a result's variance each source makes, largest first; the shares add up to 1.
 * Sources with the same label stand on one line (all atomic weights of a formula, say).
 *
 * @returns an empty list when the uncertainty is unknown or zero
 * @source JCGM 100:2008, 5.1.3 (variance as the sum of squared contributions)
 */
export function budgetOf(working: Pick<Working, 'contributions' | 'result'>): readonly BudgetLine[] {
  const u = working.result.standardUncertainty;
  if (u === null || u === 0) return [];
  const squares = new Map<string, number>();
  let total = 0;
  // Scaled by u first: the square of a very small contribution would underflow to zero.
  for (const { label, value } of working.contributions) {
    const square = (value / u) ** 2;
    total += square;
    squares.set(label, (squares.get(label) ?? 0) + square);
  }
  if (!(total > 0)) return [];
  return (
    [...squares]
      // A reactant that does not limit adds nothing at all: its share is not small but none.
      .filter(([, square]) => square > 0)
      .map(([source, square]) => ({ source, share: square / total }))
      .sort((a, b) => b.share - a.share)
  );
}
