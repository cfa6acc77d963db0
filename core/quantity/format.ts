import { roundAtPlace, roundToFigures } from './decimal.ts';
import type { Quantity } from './quantity.ts';
import { exponentOf, placeOfUncertainty } from './uncertainty.ts';
import type { UnitSymbol } from './unit.ts';

const minus = '\u2212';
const thinSpace = '\u2009';
const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** Numbers from 0.001 up to seven digits are written out; the others as × 10ⁿ. */
const smallestPlain = -3;
const largestPlain = 6;

const typographic = (text: string): string => text.replace('-', minus);

const power = (exponent: number): string =>
  `${thinSpace}×${thinSpace}10${exponent < 0 ? '⁻' : ''}${String(Math.abs(exponent)).replace(/\d/g, (digit) => raised.charAt(Number(digit)))}`;

/** Whether a number whose last digit stands at 10^place needs a power of ten to be honest or short. */
const needsPower = (exponent: number, place: number): boolean =>
  place > 0 || exponent < smallestPlain || exponent > largestPlain;

/**
 * Writes a number to its significant figures: half to even on the decimal digits, real minus sign,
 * × 10ⁿ for large and small ones and wherever zeros would pretend to be figures (2458 to three
 * figures is 2.46 × 10³).
 *
 * @param value finite
 * @param significantFigures ≥ 1, or null for an exact number, which is written as it is
 */
export function formatNumber(value: number, significantFigures: number | null): string {
  if (!Number.isFinite(value)) throw new Error(`not a number to print: ${value}`);
  if (significantFigures === null) return formatExact(value);
  if (value === 0) return roundAtPlace(0, 1 - significantFigures);
  // The exponent after rounding: 9.996 to three figures is 10.0.
  const { exponent } = roundToFigures(value, significantFigures);
  return formatAtPlace(value, exponent - significantFigures + 1);
}

/** Rounded at 10^place; × 10ⁿ where that is honest or short. */
function formatAtPlace(value: number, place: number): string {
  const rounded = Number(roundAtPlace(value, place));
  if (rounded === 0) return roundAtPlace(0, Math.min(0, place));
  const exponent = exponentOf(rounded);
  if (!needsPower(exponent, place)) return typographic(roundAtPlace(value, place));
  return typographic(roundAtPlace(shiftText(value, -exponent), place - exponent)) + power(exponent);
}

function formatExact(value: number): string {
  const clean = Number(value.toPrecision(15));
  const exponent = exponentOf(clean);
  if (clean !== 0 && (exponent < -6 || exponent > 14)) {
    const [mantissa = '', tens = '0'] = clean.toExponential().split('e');
    return typographic(mantissa) + power(Number(tens));
  }
  return typographic(String(clean));
}

export interface Formatted {
  readonly number: string;
  /** Empty for a pure number. */
  readonly unit: string;
  readonly text: string;
}

/** Unit as printed: a pure number has none, a temperature difference is in °C. */
export const printedUnit = (unit: UnitSymbol): string =>
  unit === '1' || unit === 'pH' ? '' : unit === 'Δ°C' ? '°C' : unit.replace(/ /g, '\u00A0');

const withUnit = (number: string, unit: UnitSymbol): Formatted => {
  const printed = printedUnit(unit);
  return { number, unit: printed, text: printed === '' ? number : `${number}${thinSpace}${printed}` };
};

/**
 * A quantity as printed. A known uncertainty decides the last digit, else the significant figures do.
 *
 * @example formatQuantity({ value: 2.6089, unit: 'g', standardUncertainty: 0.011, significantFigures: 4 }).text // 2.609 g
 */
export function formatQuantity(quantity: Quantity): Formatted {
  const u = quantity.standardUncertainty;
  if (quantity.significantFigures === null || u === null || u === 0) {
    return withUnit(formatNumber(quantity.value, quantity.significantFigures), quantity.unit);
  }
  return withUnit(formatAtPlace(quantity.value, placeOfUncertainty(u)), quantity.unit);
}

export interface FormattedWithUncertainty extends Formatted {
  /** Written to the same place as the number; null when the uncertainty is not known. */
  readonly uncertainty: string | null;
}

/**
 * A quantity with its uncertainty, both to the same place: `(81.47 ± 0.24) %`.
 *
 * @param coverage k; 1 prints the standard uncertainty, 2 the expanded one
 * @source JCGM 100:2008, 7.2.2 to 7.2.6
 */
export function formatWithUncertainty(quantity: Quantity, coverage = 1): FormattedWithUncertainty {
  const u = quantity.standardUncertainty;
  const plain = formatQuantity(quantity);
  if (u === null || u === 0) return { ...plain, uncertainty: null };
  const wide = u * coverage;
  const place = placeOfUncertainty(wide);
  const top = Math.max(exponentOf(quantity.value), exponentOf(wide));
  const printed = printedUnit(quantity.unit);
  // "0 ± 70" claims no more than "(0 ± 7) × 10¹" does, and is read at once.
  const isNothing = top <= largestPlain && Number(roundAtPlace(quantity.value, place)) === 0;
  const shift = needsPower(top, place) && !isNothing ? top : 0;
  const at = (value: number): string => roundAtPlace(shiftText(value, -shift), place - shift);
  const number = typographic(at(quantity.value));
  const uncertainty = at(wide);
  const tens = shift === 0 ? '' : power(shift);
  const bare = `${number} ± ${uncertainty}`;
  const body = printed === '' && tens === '' ? bare : `(${bare})`;
  return {
    number: number + tens,
    uncertainty: uncertainty + tens,
    unit: printed,
    text: `${body}${tens}${printed === '' ? '' : thinSpace + printed}`,
  };
}

/**
 * A standard uncertainty on its own, to the digits it deserves: written out down to the sixth
 * decimal, because `0.00012` beside `1.0080` says more than a power of ten does.
 */
export function formatUncertainty(standard: number): string {
  const place = placeOfUncertainty(standard);
  if (place <= 0 && place >= -6) return roundAtPlace(standard, place);
  return formatNumber(standard, Math.max(1, exponentOf(standard) - place + 1));
}

/** Multiplied by a power of ten on the text, which keeps the decimal digits as they are. */
const shiftText = (value: number, by: number): string => {
  const [mantissa = '0', exponent = '0'] = Number(value.toPrecision(15)).toExponential().split('e');
  return `${mantissa}e${Number(exponent) + by}`;
};
