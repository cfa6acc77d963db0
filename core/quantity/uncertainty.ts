/**
 * Standard uncertainty from limits: u = a/√3 where nothing favours the middle (tolerance of glass,
 * purity "99.0 ± 0.5 %").
 *
 * @param halfWidth a of ± a, in any unit, ≥ 0
 * @returns u in the same unit
 * @source JCGM 100:2008, 4.3.7
 */
export const rectangular = (halfWidth: number): number => Math.abs(halfWidth) / Math.sqrt(3);

/**
 * Standard uncertainty from limits whose middle is more likely: u = a/√6 (reading between two marks).
 *
 * @source JCGM 100:2008, 4.3.9
 */
export const triangular = (halfWidth: number): number => Math.abs(halfWidth) / Math.sqrt(6);

/**
 * Standard uncertainty from the resolution of a display: u = δ/(2√3), δ one step of the last digit.
 *
 * @source JCGM 100:2008, F.2.2.1
 */
export const displayResolution = (step: number): number => Math.abs(step) / (2 * Math.sqrt(3));

/**
 * Standard uncertainty of a difference of two independent readings: u² = u₁² + u₂².
 *
 * @source JCGM 100:2008, 5.1.2, equation (10)
 */
export const ofDifference = (first: number, second: number): number => Math.hypot(first, second);

/**
 * Standard uncertainty of the mean of repeated observations: s/√n.
 *
 * @param values at least two, same unit
 * @returns null when fewer than two values are given
 * @source JCGM 100:2008, 4.2.3
 */
export function ofMean(values: readonly number[]): number | null {
  const n = values.length;
  if (n < 2) return null;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return Math.sqrt(squares / (n - 1) / n);
}

/**
 * Expanded uncertainty U = k u.
 *
 * @param coverage k; 2 for about 95 % of a normal distribution
 * @source JCGM 100:2008, 6.2.1 and 6.3.3
 */
export const expanded = (standard: number, coverage = 2): number => standard * coverage;

/**
 * Exponent of the first figure: 3 for 2458, −2 for 0.051. By logarithm, and by the digits only where
 * the logarithm lies within rounding of a whole number: a table asks some thousand times.
 */
export function exponentOf(value: number): number {
  if (value === 0 || !Number.isFinite(value)) return 0;
  const magnitude = Math.log10(Math.abs(value));
  const whole = Math.floor(magnitude);
  const rest = magnitude - whole;
  if (rest > 1e-9 && rest < 1 - 1e-9) return whole;
  const text = value.toExponential();
  return Number(text.slice(text.indexOf('e') + 1));
}

/**
 * Place of the last digit of a value whose standard uncertainty is known, as a power of ten.
 * Two digits of u while its leading three figures are at most 354, else one: at most two digits, as
 * JCGM 100:2008, 7.2.6 asks, and the rule the Particle Data Group uses to choose between them
 * (Review of Particle Physics, Phys. Rev. D 98 (2018) 030001, Introduction, 5.3).
 *
 * @example placeOfUncertainty(0.238) // −2: 81.47 ± 0.24
 * @example placeOfUncertainty(0.86)  // −1: 1002.7 ± 0.9
 */
export function placeOfUncertainty(standard: number): number {
  const exponent = exponentOf(standard);
  const leading = Math.round(Math.abs(standard) * 10 ** (2 - exponent));
  // 0.9996 has the leading figures 1000, which is 100 one place higher.
  if (leading >= 1000) return exponent;
  return leading <= 354 ? exponent - 1 : exponent;
}

/** Significant figures of a value once it is rounded at 10^place (99.96 at 0.1 is 100.0); at least one. */
export function figuresAtPlace(value: number, place: number): number {
  const exponent = exponentOf(value);
  const rollsOver = Math.abs(value) >= 10 ** (exponent + 1) - 0.5 * 10 ** place;
  return Math.max(1, exponent - place + 1 + (rollsOver ? 1 : 0));
}
