import type { Contribution } from '../quantity/contribution.ts';
import { convert, dimensionOf } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import { instrumentContributions, lastDigitContribution } from '../quantity/instrument-contributions.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import { units } from '../quantity/unit.ts';
import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import type { WorkingTerm } from '../workings/working.ts';

/**
 * A typed number on its way into a formula: what it says, and how far it can be trusted.
 *
 * `quantity.standardUncertainty` is a number only where something is known about the measuring (an
 * instrument with published limits, a table value); then it decides the digits of what follows.
 * Where nothing was said it stays null, and figure counting decides; `contributions` then hold the
 * least that can be assumed, half a step of the last digit typed (JCGM 100:2008, F.2.2.1), which is
 * used only to ask whether two reactants can be told apart and is named as an assumption.
 */
export interface TypedValue {
  readonly quantity: Quantity;
  readonly contributions: readonly Contribution[];
}

/** Nothing typed, or nothing but blanks. */
export const isBlank = (entered: Entered | null): boolean => entered === null || entered.text.trim() === '';

const scaled = (contribution: Contribution, factor: number): Contribution => ({
  ...contribution,
  value: contribution.value * factor,
});

/** The same in another unit of its dimension; a field that allows a second dimension keeps that one's unit. */
function inUnit({ quantity, contributions }: TypedValue, unit: UnitSymbol): TypedValue {
  if (dimensionOf(quantity.unit) !== dimensionOf(unit)) return { quantity, contributions };
  // A kelvin is as large as a degree Celsius: the scale shifts, the uncertainty stays.
  const isTemperature = dimensionOf(unit) === 'temperature';
  const factor = isTemperature ? 1 : units[quantity.unit].factor / units[unit].factor;
  return {
    quantity: convert(quantity, unit),
    contributions: factor === 1 ? contributions : contributions.map((one) => scaled(one, factor)),
  };
}

const root = (contributions: readonly Contribution[]): number =>
  Math.hypot(...contributions.map((one) => one.value));

/**
 * A constant of the bottle: density, assay, strength. Its last digit as typed is taken as known to
 * half a step, since labels and handbooks print what they mean.
 *
 * @param where field path; also names the source, so that planned and taken are correlated through it
 * @param label for the uncertainty budget: "density of acetic anhydride"
 */
export function readConstant(
  entered: Entered,
  dimension: Dimension | readonly Dimension[],
  unit: UnitSymbol,
  where: string,
  label: string,
): Result<TypedValue, Problem> {
  const parsed = parseEntered(entered, dimension, where);
  if (!parsed.ok) return parsed;
  const digit = lastDigitContribution(parsed.value, where, label);
  const contributions = digit === null ? [] : [digit];
  const quantity = { ...parsed.value, standardUncertainty: root(contributions) };
  return ok(inUnit({ quantity, contributions }, unit));
}

/**
 * Something measured out or weighed.
 *
 * With an instrument its published limits say how well. A figure written down more coarsely than the
 * instrument reads is no better than its last digit, so that is added for what was taken; a plan
 * names a target and is not rounded that way.
 *
 * @param owner names the piece of glass: two liquids measured with "a 10 mL cylinder" go through two
 *   cylinders, and counting them as one would let the error of one cancel that of the other
 */
export function readMeasured(
  entered: Entered,
  instrument: string | null,
  dimension: Dimension | readonly Dimension[],
  unit: UnitSymbol,
  where: string,
  label: string,
  owner: string,
  isTarget: boolean,
): Result<TypedValue & { readonly doubts: readonly Problem[] }, Problem> {
  const parsed = parseEntered(entered, dimension, where);
  if (!parsed.ok) return parsed;
  const typed = parsed.value;
  const digit = lastDigitContribution(typed, `${where}#digit`, `last digit of the ${label}`);
  const digits = digit === null ? [] : [digit];
  const found = instrument === null ? null : instrumentContributions(instrument, typed, where);
  if (found === null || !found.ok) {
    const doubts = found === null ? [] : [found.error];
    return ok({ ...inUnit({ quantity: typed, contributions: digits }, unit), doubts });
  }
  const own = found.value.map((one) =>
    one.source.startsWith('instrument:') ? { ...one, source: `${one.source}@${owner}` } : one,
  );
  const isCoarse = !isTarget && digit !== null && digit.value > root(own);
  const contributions = isCoarse ? [...own, digit] : own;
  const quantity = { ...typed, standardUncertainty: root(contributions) };
  return ok({ ...inUnit({ quantity, contributions }, unit), doubts: [] });
}

/** A chosen number (equivalents, mole per cent): an intention, exact as it stands. */
export function readChosen(
  entered: Entered,
  dimension: Dimension | readonly Dimension[],
  where: string,
): Result<Quantity, Problem> {
  const parsed = parseEntered(entered, dimension, where);
  if (!parsed.ok) return parsed;
  if (parsed.value.value === 0) return fail({ code: 'measure-zero', where, facts: { typed: entered.text } });
  return ok({ ...parsed.value, standardUncertainty: 0 });
}

/** A typed value as a term; unlike `enteredTerm` it keeps an unknown uncertainty unknown. */
export const typedTerm = (
  key: string,
  symbol: string,
  meaning: string,
  { quantity, contributions }: TypedValue,
  where: string,
): WorkingTerm => ({ key, symbol, meaning, quantity, source: { kind: 'entered', where }, contributions });

/** Grams in 100 mL, or a mass concentration, as grams in one millilitre. */
export function asGramsPerMl(typed: TypedValue): TypedValue {
  if (dimensionOf(typed.quantity.unit) !== 'mass-per-volume') return typed;
  const { quantity, contributions } = asFraction(typed);
  return { quantity: { ...quantity, unit: 'g/mL' }, contributions };
}

/** A per cent or part per million as the plain fraction that formulas count with: 98.5 % is 0.985. */
export function asFraction({ quantity, contributions }: TypedValue): TypedValue {
  const { factor } = units[quantity.unit];
  // Dividing by 100 instead of multiplying by 0.01 keeps 98.5 % at 0.985 to the last bit.
  const per = Math.round(1 / factor);
  const { value, standardUncertainty: u, significantFigures } = quantity;
  return {
    quantity: {
      value: value / per,
      unit: '1',
      standardUncertainty: u === null ? null : u / per,
      significantFigures,
    },
    contributions: contributions.map((one) => scaled(one, 1 / per)),
  };
}
