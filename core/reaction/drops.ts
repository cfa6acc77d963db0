import { lastDigitContribution, rangeContribution } from '../quantity/instrument-contributions.ts';
import type { Contribution } from '../quantity/contribution.ts';
import { convert, dimensionOf } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import type { Dimension } from '../quantity/unit.ts';
import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { enteredTerm, exactTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { isBlank } from './entered-value.ts';
import { inRow, rowLabel, rowPath, rowProblem } from './place.ts';
import type { SideName } from './portion.ts';
import type { DropSize, Measure, ReagentRow } from './table-types.ts';
import { workOut } from './work-out.ts';

/**
 * What watery liquids usually give, to be offered and confirmed, never taken for granted: about 20
 * drops to 1 mL. Common practice, no source. Most other liquids fall in smaller drops, hence the ± 30 %.
 */
export const usualDrops: DropSize = {
  drops: { text: '20', unit: 'drops' },
  make: { text: '1.0', unit: 'mL' },
  uncertainty: { text: '0.3', unit: 'mL' },
  countUncertainty: null,
};

/** A counted number is one off at most. Common practice, no source; another limit can be typed. */
const usualCountLimit = 1;

/** Nothing but blanks says no more than no size at all. */
const isUnsaid = (drop: DropSize): boolean => isBlank(drop.make) && isBlank(drop.drops);

/** Whether a measure was counted in drops whose size nobody gave. */
export const isOfUnknownDrops = (measure: Measure | null): boolean =>
  measure !== null &&
  measure.entered.unit === 'drops' &&
  (measure.drop === undefined || isUnsaid(measure.drop));

export interface CountedOut {
  readonly by: 'mass' | 'volume';
  /** In mL or g. */
  readonly working: Working;
}

/**
 * Volume or mass of counted drops: V = n · V_N / N, where N drops made up V_N.
 *
 * Uncertainty: the count (± 1 drop unless another limit is stated) and the size of the drop (its
 * limit as stated, else half a step of its last digit), both rectangular.
 *
 * @param measure a number of drops, with or without their size
 * @returns a volume in mL, or a mass in g where the drops were weighed
 * @error drops-need-volume (no size is given), drop-size-open (facts: part), measure-zero, the codes of
 *   `parseEntered`, each at its field: `rows.<id>.taken.drop.make`
 * @source proportion; limits as rectangular: JCGM 100:2008, 4.3.7
 */
export function countedOut(row: ReagentRow, side: SideName, measure: Measure): Result<CountedOut, Problem> {
  const where = rowPath(row.id, side);
  const counted = parseEntered(measure.entered, 'drops', where);
  if (!counted.ok) return fail(inRow(row, side, counted.error));
  if (counted.value.value === 0) return fail(rowProblem(row, side, 'measure-zero'));
  const { drop } = measure;
  if (drop === undefined || isUnsaid(drop)) return fail(rowProblem(row, side, 'drops-need-volume'));
  const size = readSize(row, side, drop);
  if (!size.ok) return size;
  const { make, limit, drops, countLimit } = size.value;
  const name = rowLabel(row);
  const by = dimensionOf(make.unit) === 'mass' ? 'mass' : 'volume';
  const unit = by === 'mass' ? 'g' : 'mL';
  const symbol = by === 'mass' ? 'm' : 'V';
  const counting: readonly Contribution[] =
    countLimit === 0
      ? []
      : [rangeContribution(countLimit, `${where}#count`, `count of the drops of ${name}`)];
  const sizing = sizeContributions(make, limit, `${where}.drop`, `size of the drops of ${name}`);
  const worked = workOut({
    id: `${by}:${row.id}:${side}`,
    title: `${by === 'mass' ? 'Mass' : 'Volume'} of ${name} from its drops, ${side}`,
    symbol,
    formula: 'n * s / N',
    display: `${symbol} = n · ${symbol}_{N} / N`,
    terms: [
      enteredTerm('n', 'n', `drops of ${name} counted`, exact(counted.value), where, counting),
      enteredTerm(
        's',
        `${symbol}_{N}`,
        `${by} of N drops`,
        convert({ ...make, standardUncertainty: sizing.length === 0 ? 0 : null }, unit),
        `${where}.drop.make`,
        sizing.map((one) => ({ ...one, value: convert({ ...make, value: one.value }, unit).value })),
      ),
      exactTerm('N', 'N', 'drops counted to find their size', drops, 'as entered', 'drops'),
    ],
    unit,
    citation: 'proportion',
    notes: notesOf(countLimit, drop),
    where,
  });
  return worked.ok ? ok({ by, working: worked.value }) : worked;
}

const exact = (quantity: Quantity): Quantity => ({
  ...quantity,
  standardUncertainty: 0,
  significantFigures: null,
});

function notesOf(countLimit: number, drop: DropSize): readonly string[] {
  return [
    `The count may be off by ${countLimit} ${countLimit === 1 ? 'drop' : 'drops'}${isBlank(drop.countUncertainty) ? ' (common practice, no source)' : ''}.`,
    ...(isBlank(drop.uncertainty)
      ? ['No limit was stated for the size of the drops: half a step of its last digit is taken.']
      : []),
    'The size of a drop belongs to one liquid and one dropper, held the same way.',
  ];
}

function sizeContributions(
  make: Quantity,
  limit: Quantity | null,
  source: string,
  label: string,
): readonly Contribution[] {
  if (limit !== null) {
    return limit.value === 0 ? [] : [rangeContribution(convert(limit, make.unit).value, source, label)];
  }
  const digit = lastDigitContribution(make, source, label);
  return digit === null ? [] : [digit];
}

interface Size {
  readonly make: Quantity;
  readonly limit: Quantity | null;
  readonly drops: number;
  readonly countLimit: number;
}

function readSize(row: ReagentRow, side: SideName, drop: DropSize): Result<Size, Problem> {
  const read = (
    part: keyof DropSize,
    entered: Entered | null,
    dimension: Dimension | readonly Dimension[],
  ): Result<Quantity | null, Problem> => {
    if (entered === null || isBlank(entered)) return ok(null);
    const field = `${side}.drop.${part}`;
    const parsed = parseEntered(entered, dimension, rowPath(row.id, field));
    return parsed.ok ? parsed : fail(inRow(row, field, parsed.error));
  };
  const open = (part: 'drops' | 'make'): Result<Size, Problem> =>
    fail(rowProblem(row, `${side}.drop.${part}`, 'drop-size-open', { part }));
  const make = read('make', drop.make, ['volume', 'mass']);
  if (!make.ok) return make;
  if (make.value === null || make.value.value === 0) return open('make');
  const drops = read('drops', drop.drops, 'drops');
  if (!drops.ok) return drops;
  if (drops.value === null || drops.value.value === 0) return open('drops');
  const limit = read('uncertainty', drop.uncertainty, dimensionOf(make.value.unit));
  if (!limit.ok) return limit;
  const count = read('countUncertainty', drop.countUncertainty, 'drops');
  if (!count.ok) return count;
  return ok({
    make: make.value,
    limit: limit.value,
    drops: drops.value.value,
    countLimit: count.value?.value ?? usualCountLimit,
  });
}
