import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { parseDecimal } from './decimal.ts';
import type { Entered, Quantity } from './quantity.ts';
import type { Dimension, UnitSymbol } from './unit.ts';
import { units } from './unit.ts';

/** What can exist at all, in the first unit of the dimension (temperature in °C); beyond it is a slip of the pen. */
interface Bounds {
  readonly least: number;
  readonly most: number;
  /** True when `least` itself is not allowed: a density of zero. */
  readonly isOpen?: boolean;
}
const million: Bounds = { least: 0, most: 1e6 };
const positive: Bounds = { least: 0, most: 1e6, isOpen: true };
const bounds: Partial<Record<Dimension, Bounds>> = {
  mass: million,
  volume: million,
  drops: million,
  amount: million,
  'molar-mass': positive,
  // The densest substance at room conditions, osmium, has 22.6 g/mL (from memory).
  density: { least: 0, most: 23, isOpen: true },
  'amount-concentration': { least: 0, most: 100 },
  'equivalent-concentration': { least: 0, most: 200 },
  equivalence: { least: 0, most: 20, isOpen: true },
  molality: { least: 0, most: 1000 },
  'mass-fraction': { least: 0, most: 1 },
  'volume-fraction': { least: 0, most: 1 },
  // 100 % w/v is 1 g in 1 mL; a heavy liquid dissolved in a heavy liquid can exceed it.
  'mass-per-volume': { least: 0, most: 5 },
  'parts-per-million': { least: 0, most: 1 },
  'oxygen-volumes': { least: 0, most: 700 },
  'mole-percent': { least: 0, most: 100 },
  equivalents: { least: 0, most: 1e6 },
  temperature: { least: -273.15, most: 5000 },
  time: { least: 0, most: 1e7 },
  pressure: { least: 0, most: 1e6 },
  'addition-rate': million,
  'drop-rate': million,
  acidity: { least: -5, most: 20 },
};

/** Whether a text names one of the units; data may come from a file. */
export const isUnit = (text: string): text is UnitSymbol => Object.hasOwn(units, text);

/** Other spellings of the same unit: the litre with a small l, the micro sign typed as Greek mu or u. */
const spellings: readonly (readonly [RegExp, string])[] = [
  [/\u03BC/g, 'µ'],
  [/\u2103/g, '°C'],
  [/[\u00A0\u2009\u202F]/g, ' '],
  [/\bu(?=L|l|mol)/g, 'µ'],
  [/(?<=^|[mµ/])l$/g, 'L'],
  [/(?<=^|\/)ml\b/g, 'mL'],
  [/^g\/cm(?:3|³)$/g, 'g/mL'],
  [/^kg\/m3$/g, 'kg/m³'],
];

/**
 * A unit as people spell it. Letters that mean several things in the trade (M, N) are not guessed.
 *
 * @returns null when no unit is meant for certain
 */
export function readUnit(text: string): UnitSymbol | null {
  if (isUnit(text)) return text;
  let tidy = text.trim();
  for (const [spelling, usual] of spellings) tidy = tidy.replace(spelling, usual);
  return isUnit(tidy) ? tidy : null;
}

/** What to write instead of a letter with several meanings. */
const instead: Readonly<Record<string, string>> = {
  M: 'mol/L',
  mM: 'mmol/L',
  N: 'eq/L',
  m: 'mol/kg',
  C: '°C',
};

/**
 * Reads what was typed as a quantity of the dimension asked for. Its uncertainty is unknown until an
 * instrument, a tolerance or a stated range says something about it.
 *
 * @param entered number and unit as typed
 * @param dimension one dimension, or several where a field allows them
 * @param where field path for the problem
 * @error those of `parseDecimal`; unit-unknown (facts: unit, suggestion); unit-does-not-fit (facts: unit, expected);
 *   quantity-out-of-range (facts: typed, unit, least, most in the first unit of the dimension)
 */
export function parseEntered(
  entered: Entered,
  dimension: Dimension | readonly Dimension[],
  where: string,
): Result<Quantity, Problem> {
  const symbol = readUnit(entered.unit);
  if (symbol === null) {
    const suggestion = Object.hasOwn(instead, entered.unit) ? (instead[entered.unit] ?? '') : '';
    return fail({ code: 'unit-unknown', where, facts: { unit: String(entered.unit), suggestion } });
  }
  const unit = units[symbol];
  const allowed: readonly Dimension[] = typeof dimension === 'string' ? [dimension] : dimension;
  if (!allowed.includes(unit.dimension)) {
    return fail({
      code: 'unit-does-not-fit',
      where,
      facts: { unit: symbol, dimension: unit.dimension, expected: allowed.join(', ') },
    });
  }
  const decimal = parseDecimal(entered.text);
  if (!decimal.ok) return fail({ ...decimal.error, where });
  const { value, significantFigures, text } = decimal.value;
  const quantity: Quantity = { value, unit: symbol, standardUncertainty: null, significantFigures };
  const limits = bounds[unit.dimension];
  const base =
    unit.dimension === 'temperature' ? (entered.unit === 'K' ? value - 273.15 : value) : value * unit.factor;
  if (limits !== undefined && !isWithin(base, limits)) {
    return fail({
      code: limits.isOpen === true && base === 0 ? 'quantity-zero' : 'quantity-out-of-range',
      where,
      facts: {
        typed: text,
        unit: symbol,
        dimension: unit.dimension,
        ...boundsIn(firstUnitOf(unit.dimension), limits),
      },
    });
  }
  return ok(quantity);
}

/** The bounds as numbers of a unit: a percentage lies between 0 and 100, not between 0 and 1. */
const boundsIn = (
  symbol: UnitSymbol,
  { least, most }: Bounds,
): Readonly<Record<'least' | 'most', number>> & { readonly boundsUnit: UnitSymbol } => ({
  least: least / units[symbol].factor,
  most: most / units[symbol].factor,
  boundsUnit: symbol,
});

/** A kelvin typed as 0 comes out a rounding error below absolute zero. */
const isWithin = (base: number, { least, most, isOpen }: Bounds): boolean =>
  (isOpen === true ? base > least : base >= least - 1e-9) && base <= most * (1 + 1e-12);

/** The unit the bounds of a dimension are given in. */
export function firstUnitOf(dimension: Dimension): UnitSymbol {
  for (const [symbol, unit] of Object.entries(units)) {
    if (unit.dimension === dimension && (unit.factor === 1 || dimensionHasOneUnit(dimension))) {
      return symbol as UnitSymbol;
    }
  }
  throw new Error(`no unit for ${dimension}`);
}
const dimensionHasOneUnit = (dimension: Dimension): boolean =>
  Object.values(units).filter((unit) => unit.dimension === dimension).length === 1;
