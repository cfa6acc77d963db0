/**
 * Probability that a normal variable lies below `z` standard deviations: Φ(z).
 *
 * @returns between 0 and 1; absolute error below 2e-7; 0.5 for a `z` that is not a number
 * @source Φ(z) = (1 + erf(z/√2))/2; erf by Abramowitz & Stegun, 7.1.26 (from memory)
 */
export function normalProbability(z: number): number {
  if (Number.isNaN(z)) return 0.5;
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const polynomial =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const tail = (polynomial * Math.exp(-x * x)) / 2;
  return z < 0 ? tail : 1 - tail;
}
