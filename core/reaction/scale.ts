import { convert, dimensionOf } from '../quantity/convert.ts';
import { roundAtPlace, roundToFigures } from '../quantity/decimal.ts';
import { parseEntered } from '../quantity/entered.ts';
import { instrumentContributions } from '../quantity/instrument-contributions.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import { exponentOf } from '../quantity/uncertainty.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import { units } from '../quantity/unit.ts';
import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { isBlank } from './entered-value.ts';
import { rowLabel, rowPath, rowProblem } from './place.ts';
import { measureOf } from './portion.ts';
import { computeTable } from './reagent-table.ts';
import type { TableInput } from './reagent-table.ts';
import type { Measure, ReagentRow } from './table-types.ts';

export interface Scaled {
  readonly rows: readonly ReagentRow[];
  readonly factor: number;
  /** How the factor was worked out; null when it was given. */
  readonly working: Working | null;
  /** Rows that come out too small to measure well, or lose their instrument; none of it stops the scaling. */
  readonly notes: readonly Problem[];
}

const largestFactor = 10_000;
/** A scaled figure may differ from the exact one by this share, so that it can be measured out as written. */
const roundingShare = 0.005;
/** Less than this is not measured out well with what a teaching laboratory has. Common practice, no source. */
const least = {
  mass: { value: 0.01, text: '10\u2009mg' },
  volume: { value: 0.1, text: '0.1\u2009mL' },
} as const;

const ladders: readonly (readonly UnitSymbol[])[] = [
  ['mg', 'g', 'kg'],
  ['µL', 'mL', 'L'],
  ['µmol', 'mmol', 'mol'],
];

/** The unit one would write it in: 1500 mL becomes L, 0.05 g becomes mg; a unit typed on purpose stays otherwise. */
function fittingUnit(value: number, typed: number, unit: UnitSymbol): UnitSymbol {
  const ladder = ladders.find((one) => one.includes(unit));
  if (ladder === undefined) return unit;
  const at = ladder.indexOf(unit);
  if (value >= 1000 && value > typed) return ladder[at + 1] ?? unit;
  if (value < 0.1 && value < typed) return ladder[at - 1] ?? unit;
  return unit;
}

/**
 * Writes a scaled value with as many figures as were typed, and with more where so few would change
 * it by more than half a per cent: 5 mL × 0.5 is 2.5 mL, not 2 mL.
 */
export function scaledText(exact: number, typedFigures: number): string {
  for (let figures = typedFigures; figures < typedFigures + 6; figures += 1) {
    const { digits, exponent, negative } = roundToFigures(exact, figures);
    const rounded = Number(`${negative ? '-' : ''}${digits}e${exponent - digits.length + 1}`);
    if (Math.abs(rounded - exact) <= roundingShare * Math.abs(exact)) {
      return roundAtPlace(exact, Math.min(0, exponentOf(rounded) - figures + 1));
    }
  }
  return String(Number(exact.toPrecision(6)));
}

function scaledMeasure(row: ReagentRow, measure: Measure, factor: number, notes: Problem[]): Measure {
  // Relative to the limiting reagent: they scale by themselves.
  if (measure.by === 'equivalents' || measure.by === 'mole-percent') return measure;
  const where = rowPath(row.id, 'planned');
  const parsed = parseEntered(measure.entered, ['mass', 'volume', 'amount', 'drops'], where);
  // What cannot be read cannot be scaled; the table says what is wrong with it.
  if (!parsed.ok) return measure;
  const typed = parsed.value;
  if (typed.unit === 'drops') {
    const drops = Math.max(1, Math.round(typed.value * factor));
    return { ...measure, entered: { text: String(drops), unit: 'drops' } };
  }
  const unit = fittingUnit(typed.value * factor, typed.value, typed.unit);
  const exact = (typed.value * factor * units[typed.unit].factor) / units[unit].factor;
  const text = scaledText(Number(exact.toPrecision(14)), typed.significantFigures ?? 3);
  const entered: Entered = { text, unit };
  noteSmall(row, { ...typed, value: exact, unit }, entered, notes);
  return { ...measure, entered, instrument: keptInstrument(row, measure, entered, notes) };
}

function noteSmall(row: ReagentRow, quantity: Quantity, entered: Entered, notes: Problem[]): void {
  const dimension = dimensionOf(quantity.unit);
  if (dimension !== 'mass' && dimension !== 'volume') return;
  const limit = least[dimension];
  if (quantity.value * units[quantity.unit].factor >= limit.value) return;
  const facts = { quantity: `${entered.text}\u2009${entered.unit}`, least: limit.text };
  notes.push(rowProblem(row, 'planned', 'scale-too-small', facts));
}

/** A 10 mL cylinder does not measure 30 mL: then the choice is open again. */
function keptInstrument(
  row: ReagentRow,
  measure: Measure,
  entered: Entered,
  notes: Problem[],
): string | null {
  const { instrument } = measure;
  if (instrument === null) return null;
  const where = rowPath(row.id, 'planned');
  const parsed = parseEntered(entered, ['mass', 'volume', 'amount'], where);
  if (parsed.ok && instrumentContributions(instrument, parsed.value, where).ok) return instrument;
  notes.push(rowProblem(row, 'planned', 'scale-instrument-open'));
  return null;
}

/**
 * Scales the plan by a factor. Only what was typed is changed, to measurable figures; equivalents and
 * mole per cent stay, and everything else follows by computing the table again.
 *
 * @param factor 0 < factor ≤ 10 000
 * @error scale-factor-unfit, scale-nothing-planned
 */
export function scaleByFactor(rows: readonly ReagentRow[], factor: number): Result<Scaled, Problem> {
  if (!(factor > 0 && factor <= largestFactor)) {
    return fail({ code: 'scale-factor-unfit', where: 'factor', facts: {} });
  }
  if (rows.every((row) => measureOf(row, 'planned') === null)) {
    return fail({ code: 'scale-nothing-planned', where: 'rows', facts: {} });
  }
  const notes: Problem[] = [];
  const scaled = rows.map((row) => {
    const measure = measureOf(row, 'planned');
    if (measure === null || factor === 1) return row;
    return { ...row, planned: scaledMeasure(row, measure, factor, notes) };
  });
  return ok({ rows: scaled, factor, working: null, notes });
}

const scaleWith = (rows: readonly ReagentRow[], working: Working): Result<Scaled, Problem> => {
  const scaled = scaleByFactor(rows, working.result.value);
  return scaled.ok ? ok({ ...scaled.value, working }) : scaled;
};

/**
 * Scales the plan so that it gives a wanted mass of product at an expected yield:
 * factor = m / (m_theo · y).
 *
 * @param mass mass of product wanted
 * @param expectedYield usual percentage yield; there is no default
 * @error scale-no-yield (facts: the table's plan gives no theoretical yield), scale-yield-missing, the
 *   codes of `parseEntered` at `mass` or `expectedYield`, and those of `scaleByFactor`
 * @source mass balance; percentage yield as in OpenStax Chemistry 2e, 4.4
 */
export function scaleToProductMass(
  input: TableInput,
  mass: Entered,
  expectedYield: Entered | null,
): Result<Scaled, Problem> {
  if (expectedYield === null || isBlank(expectedYield)) {
    return fail({ code: 'scale-yield-missing', where: 'expectedYield', facts: {} });
  }
  const wanted = parseEntered(mass, 'mass', 'mass');
  if (!wanted.ok) return wanted;
  const share = parseEntered(expectedYield, 'fraction', 'expectedYield');
  if (!share.ok) return share;
  if (!(wanted.value.value > 0)) return fail({ code: 'scale-factor-unfit', where: 'mass', facts: {} });
  if (!(share.value.value > 0 && share.value.value <= 100)) {
    return fail({ code: 'scale-factor-unfit', where: 'expectedYield', facts: {} });
  }
  const { theoreticalYield } = computeTable(input).planned;
  if (theoreticalYield.state !== 'known' || theoreticalYield.working === null) {
    const [problem] = theoreticalYield.state === 'blocked' ? theoreticalYield.problems : [];
    return fail(problem ?? { code: 'scale-no-yield', where: 'rows', facts: {} });
  }
  const worked = derive({
    id: 'scale-factor',
    title: 'Scale factor of the plan',
    symbol: 'f',
    formula: 'm / (m_theo * y)',
    display: 'f = m / (m_{theo} · y)',
    terms: [
      exactTerm('m', 'm', 'mass of product wanted', convert(wanted.value, 'g').value, 'as entered', 'g'),
      workingTerm(
        'm_theo',
        'm_{theo}',
        'theoretical yield of the plan as it stands',
        theoreticalYield.working,
      ),
      exactTerm('y', 'y', 'expected yield', share.value.value / 100, 'as entered'),
    ],
    unit: '1',
    citation: 'mass balance',
    where: 'mass',
  });
  return worked.ok ? scaleWith(input.rows, worked.value) : worked;
}

const kindOf = { mass: 'mass', volume: 'volume', amount: 'amount' } as const;

/**
 * Scales the plan to what is left of one row: all of it is used.
 *
 * @param available what is left, as a mass, volume or amount
 * @error scale-row-unmeasured (that quantity of the row is not known), the codes of `parseEntered`,
 *   and those of `scaleByFactor`
 */
export function scaleToAvailable(
  input: TableInput,
  rowId: string,
  available: Entered,
): Result<Scaled, Problem> {
  const index = input.rows.findIndex((one) => one.id === rowId);
  const row = input.rows[index];
  if (row === undefined) return fail({ code: 'scale-nothing-planned', where: 'rows', facts: {} });
  const where = 'available';
  const left = parseEntered(available, ['mass', 'volume', 'amount'], where);
  if (!left.ok) return left;
  if (!(left.value.value > 0)) return fail({ code: 'scale-factor-unfit', where, facts: {} });
  const dimension = dimensionOf(left.value.unit);
  const kind = dimension === 'mass' || dimension === 'volume' ? kindOf[dimension] : kindOf.amount;
  const cell = computeTable(input).rows[index]?.planned[kind];
  if (cell?.state !== 'known' || !(cell.quantity.value > 0)) {
    return fail(rowProblem(row, 'planned', 'scale-row-unmeasured', { kind }));
  }
  const planned = convert(cell.quantity, left.value.unit);
  const worked = derive({
    id: 'scale-factor',
    title: 'Scale factor of the plan',
    symbol: 'f',
    formula: 'left / planned',
    display: 'f = left / planned',
    terms: [
      exactTerm(
        'left',
        'left',
        `${kind} of ${rowLabel(row)} left`,
        left.value.value,
        'as entered',
        left.value.unit,
      ),
      exactTerm(
        'planned',
        'planned',
        `${kind} of ${rowLabel(row)} planned`,
        planned.value,
        'plan as it stands',
        planned.unit,
      ),
    ],
    unit: '1',
    citation: 'proportion',
    where,
  });
  if (!worked.ok) return worked;
  const scaled = scaleWith(input.rows, worked.value);
  if (!scaled.ok) return scaled;
  // Rounding must not ask for more than there is: the row itself takes exactly what is left.
  const rows = scaled.value.rows.map((one) =>
    one.id === rowId && one.planned?.by === kind
      ? {
          ...one,
          planned: { ...one.planned, entered: { text: available.text.trim(), unit: available.unit } },
        }
      : one,
  );
  return ok({ ...scaled.value, rows });
}
