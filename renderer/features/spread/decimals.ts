const figureSpace = '\u2007';
const punctuationSpace = '\u2008';

/** Decimal places of a printed number: 2 for `1.08`, 0 for `12` and for a number with a power of ten. */
export function decimalsOf(number: string): number {
  if (number.includes('×')) return 0;
  const point = number.indexOf('.');
  return point < 0 ? 0 : number.length - point - 1;
}

/**
 * Blank space after a number so that the points of a column stand below each other: figure spaces
 * are as wide as tabular figures, a punctuation space is as wide as the point.
 */
export function padded(number: string, decimals: number): string {
  if (decimals === 0 || number.includes('×')) return '';
  const own = decimalsOf(number);
  if (own >= decimals) return '';
  const missing = figureSpace.repeat(decimals - own);
  return number.includes('.') ? missing : punctuationSpace + missing;
}
