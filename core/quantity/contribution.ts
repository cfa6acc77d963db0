/**
 * What one independent source adds to the uncertainty of a number: c = (∂f/∂x) · u(x), signed, in
 * the unit of the number (JCGM 100:2008, 5.1.3). Two numbers that rest on the same bottle, balance
 * or atomic weight carry the same `source`, and their contributions then add before they are
 * squared: that is how correlation is kept (JCGM 100:2008, 5.2.2) without a covariance matrix.
 */
export interface Contribution {
  /** Names the physical source: `rows.2.supply.density`, `instrument:cylinder-a-10`, `atomic-weight:C`. */
  readonly source: string;
  /** For the budget, in words: "reading the 10 mL measuring cylinder". */
  readonly label: string;
  /** Standard uncertainty (k = 1) with the sign of the sensitivity, in the unit of the number. */
  readonly value: number;
}

/**
 * Root of the sum of squares; each source stands once in the list. Scaled by the largest, so that
 * squares neither overflow nor vanish.
 *
 * @source JCGM 100:2008, 5.1.2, equation (10)
 */
export function combined(contributions: readonly Contribution[]): number {
  let largest = 0;
  for (const { value } of contributions) {
    const size = Math.abs(value);
    if (!(size <= largest)) largest = size;
  }
  if (largest === 0 || !Number.isFinite(largest)) return largest;
  let sum = 0;
  for (const { value } of contributions) sum += (value / largest) ** 2;
  return largest * Math.sqrt(sum);
}
