/** A positive fraction in lowest terms. */
export interface Rational {
  readonly numerator: number;
  readonly denominator: number;
}

const vulgarFractions: Readonly<Record<string, Rational>> = {
  '½': { numerator: 1, denominator: 2 },
  '¼': { numerator: 1, denominator: 4 },
  '¾': { numerator: 3, denominator: 4 },
  '⅓': { numerator: 1, denominator: 3 },
  '⅔': { numerator: 2, denominator: 3 },
};

export const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b);

/**
 * A number before a formula, exactly: `5`, `2.5`, `1/2`, `½`, `1½`. Groups: numerator and denominator
 * of `1/2`; else a whole or decimal number and a fraction character, either of which may be missing.
 */
export const typedFractionPattern =
  /^(?:(\d{1,4})\s*\/\s*(\d{1,4})|(\d{0,4}\.\d{1,4}|\d{1,6})?([½¼¾⅓⅔])?)\s*/;

/**
 * @param match what `typedFractionPattern` found
 * @returns null for a number of zero or over zero, 'none' where nothing was typed
 */
export function typedFraction(match: RegExpExecArray | null): Rational | null | 'none' {
  if (match === null || match[0].trim() === '') return 'none';
  const [, over, under, decimal = '', character = ''] = match;
  if (over !== undefined && under !== undefined) return reduced(Number(over), Number(under));
  const [whole = '', decimals = ''] = decimal.split('.');
  const denominator = 10 ** decimals.length;
  const numerator = Number(whole + decimals);
  const extra = vulgarFractions[character];
  if (extra === undefined) return reduced(numerator, denominator);
  return reduced(
    numerator * extra.denominator + extra.numerator * denominator,
    denominator * extra.denominator,
  );
}

function reduced(numerator: number, denominator: number): Rational | null {
  if (numerator === 0 || denominator === 0) return null;
  const common = greatestCommonDivisor(numerator, denominator);
  return { numerator: numerator / common, denominator: denominator / common };
}
