import { convert, dimensionOf } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import { formatQuantity } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import { constantTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { blockedCell, enteredCell, noCell, workedCell } from './cell.ts';
import { isOfUnknownDrops } from './drops.ts';
import { readMeasured, typedTerm } from './entered-value.ts';
import { rowLabel, rowPath } from './place.ts';
import { measureOf } from './portion.ts';
import { placeRow, readStoichiometry } from './stoichiometry.ts';
import { readSupply } from './supply.ts';
import { isAuxiliary, isMade, prepareRow } from './prepared-row.ts';
import { computeSide } from './table-side.ts';
import type { PreparedRow } from './prepared-row.ts';
import type { Cell, ComputedRow, Measure, ReagentRow, ReagentTable, RowSide } from './table-types.ts';
import { workOut } from './work-out.ts';

export interface TableInput {
  /** As typed; parsed and balanced here. */
  readonly equation: string;
  readonly rows: readonly ReagentRow[];
  /** Row of the main product, which yields refer to. */
  readonly productRowId: string | null;
}

/**
 * Works out the whole reagent table, planned and taken: each row's mass, volume, amount, equivalents
 * and excess from its one typed cell, the limiting reagent with how sure that is, the theoretical
 * yield. Nothing is assumed for a missing density, assay or strength: it is named in its row and
 * blocks only what depends on it.
 *
 * Mass and volume of a solution or of an impure substance are those of what is measured out.
 *
 * @returns never throws and never holds a number that is not finite, whatever the input
 * @error within the table: see `readSupply`, `measurePortion`, `readStoichiometry`, `placeRow`;
 *   not-measured, equivalents-need-limiting, equivalents-below-one, reactant-in-mole-percent,
 *   product-is-computed, product-missing
 */
export function computeTable({ equation, rows, productRowId }: TableInput): ReagentTable {
  const stoichiometry = readStoichiometry(equation);
  const isUsable = stoichiometry.species.length > 0;
  const equationProblems = isUsable ? [] : stoichiometry.problems;
  const prepared = rows.map((row) =>
    prepareRow(row, readSupply(row), placeRow(row, stoichiometry, row.id === productRowId)),
  );
  const planned = computeSide(prepared, productRowId, equationProblems, 'planned');
  const taken = computeSide(prepared, productRowId, equationProblems, 'taken');
  const empty: RowSide = {
    mass: noCell,
    volume: noCell,
    amount: noCell,
    equivalents: noCell,
    excess: noCell,
  };
  return {
    rows: prepared.map((one, index): ComputedRow => {
      const plannedCells = planned.rows[index] ?? empty;
      const takenCells = taken.rows[index] ?? empty;
      return {
        rowId: one.row.id,
        molarMass: molarMassCell(one),
        coefficient: one.place.coefficient,
        planned: plannedCells,
        taken: takenCells,
        difference: differenceCell(one.row, plannedCells, takenCells),
        problems: distinct([
          ...ownProblems(one),
          ...one.place.problems,
          ...(planned.problems[index] ?? []),
          ...(taken.problems[index] ?? []),
        ]),
      };
    }),
    planned: planned.side,
    taken: taken.side,
    problems: stoichiometry.problems,
  };
}

const distinct = (problems: readonly Problem[]): readonly Problem[] =>
  problems.filter(
    (one, index) =>
      problems.findIndex(({ code, where }) => code === one.code && where === one.where) === index,
  );

function molarMassCell({ reading, row }: PreparedRow): Cell {
  if (reading.molarMass !== null) return workedCell(reading.molarMass);
  if (row.formula.trim() === '' && isAuxiliary(row)) return noCell;
  return blockedCell(reading.problems.filter(({ where }) => where === rowPath(row.id, 'formula')));
}

/**
 * What a row has to have said about it. A solvent without an assay, or a product without one, lacks
 * nothing: only a value that was typed wrongly is told there.
 */
function ownProblems({ row, reading }: PreparedRow): readonly Problem[] {
  if (!isAuxiliary(row) && !isMade(row)) return reading.problems;
  return reading.problems.filter(({ code }) => {
    if (code === 'formula-missing') return isMade(row);
    return !code.startsWith('missing-');
  });
}

/** (taken − planned)/planned on the cell that was measured. */
function differenceCell(row: ReagentRow, plannedSide: RowSide, takenSide: RowSide): Cell {
  const [planned, taken] = comparedSides(row, plannedSide, takenSide);
  const measure = measureOf(row, 'taken');
  if (measure === null || measureOf(row, 'planned') === null) return noCell;
  const kinds = ['mass', 'volume', 'amount', 'equivalents'] as const;
  const own = measure.by === 'mole-percent' ? 'equivalents' : measure.by;
  const kind = [own, ...kinds].find((one) => areComparable(planned[one], taken[one]));
  if (kind === undefined) return noCell;
  const before = plannedTerm(planned[kind], kind);
  const after = takenTerm(row, taken[kind], kind);
  if (before === null || after === null || before.quantity.value === 0) return noCell;
  const worked = workOut({
    id: `difference:${row.id}`,
    title: `Difference in ${kind} of ${rowLabel(row)}`,
    symbol: 'd',
    formula: '100 * (t - p) / p',
    display: 'd = 100 % · (taken − planned) / planned',
    terms: [after, before],
    unit: '%',
    citation: 'definition',
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}

/** Drops whose size is known on one side only are held against each other as counted. */
function comparedSides(row: ReagentRow, planned: RowSide, taken: RowSide): readonly [RowSide, RowSide] {
  const [before, after] = [measureOf(row, 'planned'), measureOf(row, 'taken')];
  const isCounted = before?.entered.unit === 'drops' && after?.entered.unit === 'drops';
  if (!isCounted || isOfUnknownDrops(before) === isOfUnknownDrops(after)) return [planned, taken];
  const asCounted = (side: RowSide, measure: Measure): RowSide => {
    const count = parseEntered(measure.entered, 'drops', '');
    return count.ok ? { ...side, volume: enteredCell(count.value) } : side;
  };
  return [asCounted(planned, before), asCounted(taken, after)];
}

const columnUnits = { mass: 'g', volume: 'mL', amount: 'mmol', equivalents: 'eq' } as const;
type Comparable = keyof typeof columnUnits;

/** Drops cannot be held against millilitres. */
const areComparable = (planned: Cell, taken: Cell): boolean =>
  planned.state === 'known' &&
  taken.state === 'known' &&
  dimensionOf(planned.quantity.unit) === dimensionOf(taken.quantity.unit);

/** The unit of the column, except for what was typed in a unit of another dimension (drops, a plain number). */
const comparisonUnit = ({ unit }: Quantity, kind: Comparable): UnitSymbol =>
  dimensionOf(unit) === dimensionOf(columnUnits[kind]) ? columnUnits[kind] : unit;

/** The plan is a number aimed at: how well it could be measured is no part of the difference. */
function plannedTerm(cell: Cell, kind: Comparable): WorkingTerm | null {
  if (cell.state !== 'known') return null;
  const inUnit = convert(cell.quantity, comparisonUnit(cell.quantity, kind));
  const exact = { ...inUnit, standardUncertainty: 0, significantFigures: null };
  return constantTerm('p', 'planned', `${kind} planned`, exact, 'as planned');
}

function takenTerm(row: ReagentRow, cell: Cell, kind: Comparable): WorkingTerm | null {
  if (cell.state !== 'known') return null;
  const meaning = `${kind} taken`;
  if (cell.working !== null) {
    // The working may be in another unit than the column; the comparison is in the column's.
    const quantity = convert(cell.quantity, comparisonUnit(cell.quantity, kind));
    const factor = quantity.value / cell.working.result.value;
    const contributions = cell.working.contributions.map((one) => ({ ...one, value: one.value * factor }));
    return { ...workingTerm('t', 'taken', meaning, cell.working), quantity, contributions };
  }
  const measure = measureOf(row, 'taken');
  if (measure === null) return null;
  const where = rowPath(row.id, 'taken');
  const unit = comparisonUnit(cell.quantity, kind);
  if (kind === 'equivalents' || unit === 'drops') {
    // Chosen or counted.
    const exact = { ...cell.quantity, standardUncertainty: 0, significantFigures: null };
    return constantTerm('t', 'taken', meaning, exact, 'as entered');
  }
  const instrument = kind === 'amount' ? null : measure.instrument;
  const read = readMeasured(measure.entered, instrument, kind, unit, where, meaning, row.id, false);
  return read.ok ? typedTerm('t', 'taken', meaning, read.value, where) : null;
}

/** A table's row by id, for callers that hold the rows of the entry. */
export const computedRow = (table: ReagentTable, rowId: string): ComputedRow | null =>
  table.rows.find((row) => row.rowId === rowId) ?? null;

/** "2.61 g": a known cell as printed, else an empty text. */
export const cellText = (cell: Cell): string =>
  cell.state === 'known' ? formatQuantity(cell.quantity).text : '';
