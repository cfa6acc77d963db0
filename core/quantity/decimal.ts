import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';

/** A number as it was typed, read in decimal. */
export interface Decimal {
  /** Trimmed, otherwise to the letter. */
  readonly text: string;
  readonly value: number;
  /** Every digit typed from the first that is not zero: `4.50` has 3, `100` has 3, `0.05` has 1. */
  readonly significantFigures: number;
  /** Digits after the point, less the exponent: `2.00` has 2, `1.5e3` has −2. */
  readonly decimalPlaces: number;
}

const longest = 60;
const largestExponent = 99;
const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const numberPattern =
  /^([+\-−]?)(\d+\.?\d*|\.\d+)(?:[eE]([+\-−]?\d+)|\s*[×x·⋅*]\s*10(?:\^([+\-−]?\d+)|([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)))?$/;

const problem = (code: string, position: number, facts: Problem['facts'] = {}) =>
  fail({ code, where: '', position, facts });

const plainSign = (text: string): string => text.replace('−', '-').replace('⁺', '').replace('⁻', '-');
const plainDigits = (text: string): string =>
  [...text].map((one) => (superscripts.includes(one) ? String(superscripts.indexOf(one)) : one)).join('');

/**
 * Reads a number as a person types it: point as the decimal sign, `-` or U+2212 as minus, exponent
 * as `1.5e-3`, `1.5×10^-3` or `1.5×10⁻³`. Every digit typed counts as significant: whoever writes
 * 100 mg in a record means three figures (house rule; textbooks leave it open).
 *
 * A zero counts as if a one stood before its decimals, so that `0.00` still says "to 0.01".
 *
 * @param text at most 60 characters; blanks at either end are ignored
 * @error number-missing; number-comma (a comma, which could mean either of two things);
 *   number-digits (digits other than 0–9); number-spaced (blank inside); number-too-long;
 *   number-too-large and number-too-small (more than ± 99 powers of ten); number-unreadable;
 *   each with the position of the fault, inside the text (0 for an empty text)
 */
export function parseDecimal(text: string): Result<Decimal, Problem> {
  const trimmed = text.trim();
  const start = trimmed === '' ? 0 : text.indexOf(trimmed);
  if (trimmed === '') return problem('number-missing', 0);
  if (trimmed.length > longest) return problem('number-too-long', start + longest, { longest });
  const match = numberPattern.exec(trimmed);
  if (match === null) return unreadable(trimmed, start);
  const [, sign = '', digits = '', plainExponent, caretExponent, raisedExponent] = match;
  const exponentText = plainSign(plainExponent ?? caretExponent ?? plainDigits(raisedExponent ?? '0'));
  const exponent = Number(exponentText);
  const value = Number(`${sign === '' || sign === '+' ? '' : '-'}${digits}e${exponentText}`);
  const significant = digits.replace('.', '').replace(/^0+/, '');
  const isZero = significant === '';
  const order = isZero ? exponent : orderOf(digits) + exponent;
  if (order > largestExponent || !Number.isFinite(value)) {
    return problem('number-too-large', start, { largestExponent });
  }
  if (order < -largestExponent)
    return problem('number-too-small', start, { smallestExponent: -largestExponent });
  const decimals = digits.includes('.') ? digits.length - digits.indexOf('.') - 1 : 0;
  return ok({
    text: trimmed,
    // A typed −0 is a zero: a sign on nothing would print as "−0".
    value: value === 0 ? 0 : value,
    significantFigures: isZero ? Math.max(1, decimals - exponent + 1) : significant.length,
    decimalPlaces: decimals - exponent,
  });
}

/** Exponent of the first digit that is not zero: 2 for `123.4`, −2 for `0.05`. */
function orderOf(digits: string): number {
  const point = digits.includes('.') ? digits.indexOf('.') : digits.length;
  const first = digits.search(/[1-9]/);
  return first < point ? point - first - 1 : point - first;
}

/** Finds the first character that cannot be part of the number and says what is wrong with it. */
function unreadable(text: string, start: number): Result<never, Problem> {
  const comma = text.search(/[,،٫，]/);
  if (comma >= 0) return problem('number-comma', start + comma);
  const digit = text.search(/(?![0-9⁰¹²³⁴⁵⁶⁷⁸⁹])\p{N}/u);
  if (digit >= 0)
    return problem('number-digits', start + digit, {
      typed: String.fromCodePoint(text.codePointAt(digit) ?? 0),
    });
  if (/^[+\-−]?(nan|inf|infinity|∞)$/i.test(text))
    return problem('number-unreadable', start, { typed: text });
  const blank = /\d(\s+)[\d.]/.exec(text);
  if (blank !== null) return problem('number-spaced', start + blank.index + 1);
  const readable = /^[+\-−]?(?:\d+\.?\d*|\.\d+)?/.exec(text)?.[0].length ?? 0;
  const at = Math.min(readable, text.length - 1);
  return problem('number-unreadable', start + at, { typed: String.fromCodePoint(text.codePointAt(at) ?? 0) });
}

/** A decimal number taken apart: 0.0d₁d₂d₃… × 10^exponent with the first digit at 10^exponent. */
interface Digits {
  readonly negative: boolean;
  readonly digits: string;
  readonly exponent: number;
}

function takeApart(text: string): Digits {
  const match = /^(-?)(\d*)\.?(\d*)(?:e([+-]?\d+))?$/.exec(text.toLowerCase());
  if (match === null) throw new Error(`not a plain decimal: ${text}`);
  const [, sign, whole = '', fraction = '', power = '0'] = match;
  const all = whole + fraction;
  const first = all.search(/[1-9]/);
  if (first < 0) return { negative: false, digits: '0', exponent: 0 };
  return {
    negative: sign === '-',
    digits: all.slice(first),
    exponent: whole.length - 1 - first + Number(power),
  };
}

/**
 * Rounds a decimal text at the place 10^place, half to even, on its digits: 0.90275 at −4 gives
 * 0.9028 and 1.005 at −2 gives 1.00, though neither can be written in binary.
 *
 * @returns digits and exponent of the rounded number; the digits reach down to the place
 * @source half to even: OpenStax Chemistry 2e, 1.5; ISO 80000-1:2009, annex B, rule A (from memory)
 */
function roundDigits(text: string, place: number): Digits {
  const { negative, digits, exponent } = takeApart(text);
  const keep = exponent - place + 1;
  if (digits === '0')
    return { negative, digits: '0'.repeat(Math.max(1, 1 - place)), exponent: Math.max(0, 0) };
  if (keep < 0) return { negative: false, digits: '0', exponent: 0 };
  const kept = digits.slice(0, keep).padEnd(keep, '0');
  const next = digits.charCodeAt(keep) - 48;
  const rest = /[1-9]/.test(digits.slice(keep + 1));
  const isOdd = keep > 0 && (kept.charCodeAt(keep - 1) - 48) % 2 === 1;
  const isUp = keep < digits.length && (next > 5 || (next === 5 && (rest || isOdd)));
  if (!isUp)
    return keep === 0 ? { negative: false, digits: '0', exponent: 0 } : { negative, digits: kept, exponent };
  const raised = (BigInt(kept === '' ? '0' : kept) + 1n).toString().padStart(keep, '0');
  return {
    negative,
    digits: raised,
    exponent: exponent + (raised.length - Math.max(keep, 1)) + (keep === 0 ? 1 : 0),
  };
}

/** The text a number is rounded from: 15 figures, which clears away the last bit of binary arithmetic. */
const decimalText = (value: number | string): string =>
  typeof value === 'string' ? value.replace('−', '-') : Number(value.toPrecision(15)).toString();

/**
 * Rounds at 10^place, half to even on the decimal digits.
 *
 * @param value a number, or a plain decimal text such as `0.90275` to round what was typed
 * @returns plain ASCII decimal with `-place` digits after the point (none for place ≥ 0)
 */
export function roundAtPlace(value: number | string, place: number): string {
  const { negative, digits, exponent } = roundDigits(decimalText(value), place);
  return lay(negative, digits, exponent, place);
}

/** Writes digits (the first at 10^exponent) with the decimals the place asks for. */
function lay(negative: boolean, digits: string, exponent: number, place: number): string {
  const decimals = Math.max(0, -place);
  const sign = negative && /[1-9]/.test(digits) ? '-' : '';
  const whole = exponent >= 0 ? digits.slice(0, exponent + 1).padEnd(exponent + 1, '0') : '0';
  const fraction = exponent >= 0 ? digits.slice(exponent + 1) : '0'.repeat(-exponent - 1) + digits;
  const shown = fraction.slice(0, decimals).padEnd(decimals, '0');
  return decimals === 0 ? sign + whole : `${sign}${whole}.${shown}`;
}

/** Rounded to a number of figures: mantissa digits and the exponent of the first. */
export function roundToFigures(
  value: number | string,
  significantFigures: number,
): { readonly negative: boolean; readonly digits: string; readonly exponent: number } {
  const text = decimalText(value);
  const { digits, exponent } = takeApart(text);
  if (digits === '0') return { negative: false, digits: '0'.repeat(significantFigures), exponent: 0 };
  const rounded = roundDigits(text, exponent - significantFigures + 1);
  // 9.996 to three figures is 10.0: one digit more than asked for, and always a zero.
  return rounded.digits.length > significantFigures
    ? { ...rounded, digits: rounded.digits.slice(0, significantFigures) }
    : rounded;
}
