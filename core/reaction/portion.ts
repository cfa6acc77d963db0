import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { Problem, Result } from '../result.ts';
import { workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { blockedCell, enteredCell, noCell, workedCell } from './cell.ts';
import { isBlank, readMeasured, typedTerm } from './entered-value.ts';
import type { TypedValue } from './entered-value.ts';
import { parseEntered } from '../quantity/entered.ts';
import { countedOut } from './drops.ts';
import { inRow, rowLabel, rowPath, rowProblem } from './place.ts';
import type { Absent, Blocked, Relation, SupplyReading } from './relation.ts';
import type { Cell, Measure, ReagentRow } from './table-types.ts';
import { workOut } from './work-out.ts';

export type SideName = 'planned' | 'taken';

/** Makes a term in mol of a row's amount, to be used under any key of a later formula. */
export type AmountTerm = (key: string, symbol: string) => WorkingTerm;

/** One row on one side, as far as it follows from its own measure. */
export interface Portion {
  /** blank: nothing typed; relative: typed as equivalents or mole per cent, waits for the limiting reagent. */
  readonly state: 'blank' | 'absolute' | 'relative' | 'blocked';
  readonly mass: Cell;
  readonly volume: Cell;
  readonly amount: Cell;
  readonly amountTerm: AmountTerm | null;
  /** What blocks the amount; empty unless blocked. */
  readonly blockedBy: readonly Problem[];
  /** Problems of the measure itself, whether or not they block anything. */
  readonly problems: readonly Problem[];
}

export const blankPortion: Portion = {
  state: 'blank',
  mass: noCell,
  volume: noCell,
  amount: noCell,
  amountTerm: null,
  blockedBy: [],
  problems: [],
};

// From memory, not checked against the print.
const densitySource = 'definition of density: IUPAC Green Book, 3rd ed., 2.2';
const massUnit = 'g';
const volumeUnit = 'mL';

/** Millimoles, and moles from one mole on (solvents, gases): no power of ten in a cell. */
export const amountCell = (working: Working): Cell =>
  workedCell(working, working.result.value < 1 ? 'mmol' : 'mol');

/** What was typed on one side of a row; null when its cell is blank. */
export const measureOf = (row: ReagentRow, side: SideName): Measure | null => {
  const measure = row[side];
  return measure === null || isBlank(measure.entered) ? null : measure;
};

const cellOf = (worked: Result<Working, Problem>, unit: UnitSymbol): Cell =>
  worked.ok ? workedCell(worked.value, unit) : blockedCell([worked.error]);

/** Derives the measured-out quantities of a row from its amount, whichever way that was found. */
export function portionFromAmount(
  row: ReagentRow,
  side: SideName,
  reading: SupplyReading,
  amount: Cell,
  amountTerm: AmountTerm,
): Pick<Portion, 'mass' | 'volume' | 'amount' | 'amountTerm'> {
  const name = rowLabel(row);
  const back = (relation: Relation | Blocked | Absent, quantity: 'mass' | 'volume'): Cell => {
    if (relation.state === 'absent') return noCell;
    if (relation.state === 'blocked') return blockedCell(relation.problems);
    const worked = workOut({
      id: `${quantity}:${row.id}:${side}`,
      title: `${quantity === 'mass' ? 'Mass' : 'Volume'} of ${name}, ${side}`,
      symbol: quantity === 'mass' ? 'm' : 'V',
      formula: relation.backward,
      display: relation.backwardDisplay,
      terms: [amountTerm('n', 'n'), ...relation.terms],
      unit: relation.unit,
      citation: relation.citation,
      notes: relation.notes,
      where: rowPath(row.id, side),
    });
    return cellOf(worked, quantity === 'mass' ? massUnit : volumeUnit);
  };
  return {
    mass: back(reading.massToAmount, 'mass'),
    volume: back(reading.volumeToAmount, 'volume'),
    amount,
    amountTerm,
  };
}

/** Term and cell of an amount worked out by a formula. */
export function workedAmount(
  row: ReagentRow,
  working: Working,
): { readonly cell: Cell; readonly term: AmountTerm } {
  const meaning = `amount of ${rowLabel(row)}`;
  return {
    cell: amountCell(working),
    term: (key, symbol) => workingTerm(key, symbol, meaning, working),
  };
}

const dimensionOfMeasure = { mass: 'mass', volume: 'volume', amount: 'amount' } as const satisfies Record<
  string,
  Dimension
>;
const formulaUnit = { mass: 'g', volume: 'mL', amount: 'mol' } as const;

function blockedPortion(problems: readonly Problem[], cells: Partial<Portion> = {}): Portion {
  const cell = blockedCell(problems);
  return {
    state: 'blocked',
    mass: cell,
    volume: cell,
    amount: cell,
    amountTerm: null,
    blockedBy: problems,
    problems,
    ...cells,
  };
}

/** Drops are no volume until somebody says how large they are. */
function dropsPortion(row: ReagentRow, side: SideName, measure: Measure, reading: SupplyReading): Portion {
  const read = parseEntered(measure.entered, 'drops', rowPath(row.id, side));
  if (!read.ok) return blockedPortion([inRow(row, side, read.error)]);
  const counted = countedOut(row, side, measure);
  if (!counted.ok) return blockedPortion([counted.error], { volume: enteredCell(read.value) });
  if (row.supply.kind === 'gas') return blockedPortion([rowProblem(row, side, 'gas-in-drops')]);
  const { by, working } = counted.value;
  const meaning = `${by} of ${rowLabel(row)}, counted in drops`;
  const symbol = by === 'mass' ? 'm' : 'V';
  return measuredOut(row, side, reading, {
    by,
    cell: workedCell(working),
    term: () => workingTerm(symbol, symbol, meaning, working),
    problems: [],
  });
}

/**
 * Works out one side of a row from its one measured cell. Equivalents and mole per cent are left for
 * later, when the limiting reagent is known.
 *
 * The uncertainty of the measuring comes from the instrument named; see `readMeasured` for the rest.
 *
 * @error within the portion: the codes of `parseEntered` and `instrumentContributions`, measure-zero,
 *   drops-need-volume and the other codes of `countedOut`, gas-in-drops, solid-by-volume, mass-needs-density, and what the bottle lacks
 */
export function measurePortion(row: ReagentRow, side: SideName, reading: SupplyReading): Portion {
  const measure = measureOf(row, side);
  if (measure === null) return blankPortion;
  const { by, entered } = measure;
  if (by === 'equivalents' || by === 'mole-percent') return { ...blankPortion, state: 'relative' };
  if (by === 'volume' && entered.unit === 'drops') return dropsPortion(row, side, measure, reading);
  const where = rowPath(row.id, side);
  const read = readMeasured(
    entered,
    by === 'amount' ? null : measure.instrument,
    dimensionOfMeasure[by],
    formulaUnit[by],
    where,
    `${by} of ${rowLabel(row)}`,
    row.id,
    side === 'planned',
  );
  if (!read.ok) return blockedPortion([inRow(row, side, read.error)]);
  if (read.value.quantity.value === 0) return blockedPortion([rowProblem(row, side, 'measure-zero')]);
  const problems = read.value.doubts.map((one) => inRow(row, side, one));
  const typed = parseEntered(entered, dimensionOfMeasure[by], where);
  const cell = typed.ok ? enteredCell(typed.value) : noCell;
  const meaning = `${by} of ${rowLabel(row)} ${side === 'taken' ? 'taken' : 'planned'}`;
  if (by === 'amount') {
    const term: AmountTerm = (key, symbol) => typedTerm(key, symbol, meaning, read.value, where);
    return {
      ...portionFromAmount(row, side, reading, cell, term),
      state: 'absolute',
      blockedBy: [],
      problems,
    };
  }
  const { value } = read;
  const symbol = by === 'mass' ? 'm' : 'V';
  const term: MeasuredOut['term'] = (unit) =>
    typedTerm(symbol, symbol, meaning, unit === 'L' ? inLitres(value) : value, where);
  return measuredOut(row, side, reading, { by, cell, term, problems });
}

interface MeasuredOut {
  readonly by: 'mass' | 'volume';
  readonly cell: Cell;
  /** As m in g or V in mL; in L for a gas. */
  readonly term: (unit: Relation['unit']) => WorkingTerm;
  readonly problems: readonly Problem[];
}

function measuredOut(
  row: ReagentRow,
  side: SideName,
  reading: SupplyReading,
  measured: MeasuredOut,
): Portion {
  const { by, cell, problems } = measured;
  const relation = by === 'mass' ? reading.massToAmount : reading.volumeToAmount;
  const partner = partnerCell(row, side, reading, measured);
  const cells = by === 'mass' ? { mass: cell, volume: partner } : { mass: partner, volume: cell };
  if (relation.state !== 'ready') {
    const own = relation.state === 'blocked' ? [] : [noRelation(row, side, by)];
    const blockedBy = relation.state === 'blocked' ? relation.problems : own;
    const lone = partner.state === 'none' && row.supply.kind === 'gas' ? blockedCell(blockedBy) : partner;
    return {
      state: 'blocked',
      ...(by === 'mass' ? { mass: cell, volume: lone } : { mass: lone, volume: cell }),
      amount: blockedCell(blockedBy),
      amountTerm: null,
      blockedBy,
      problems: [...problems, ...own],
    };
  }
  const worked = workOut({
    id: `amount:${row.id}:${side}`,
    title: `Amount of ${rowLabel(row)}, ${side}`,
    symbol: 'n',
    formula: relation.forward,
    display: relation.forwardDisplay,
    terms: [measured.term(relation.unit), ...relation.terms],
    unit: 'mol',
    citation: relation.citation,
    notes: relation.notes,
    where: rowPath(row.id, side),
  });
  if (!worked.ok) return { ...blockedPortion([worked.error]), ...cells };
  const amount = workedAmount(row, worked.value);
  const portion = { state: 'absolute', blockedBy: [], problems, ...cells } as const;
  if (row.supply.kind !== 'gas') return { ...portion, amount: amount.cell, amountTerm: amount.term };
  // A gas has no density of its own here: its mass and its volume follow from the amount.
  const back = portionFromAmount(row, side, reading, amount.cell, amount.term);
  return { ...portion, ...back, ...(by === 'mass' ? { mass: cell } : { volume: cell }) };
}

const inLitres = ({ quantity, contributions }: TypedValue): TypedValue => ({
  quantity: {
    ...quantity,
    value: quantity.value / 1000,
    unit: 'L',
    standardUncertainty: quantity.standardUncertainty === null ? null : quantity.standardUncertainty / 1000,
  },
  contributions: contributions.map((one) => ({ ...one, value: one.value / 1000 })),
});

/** A solution that was weighed lacks its density, and the box for that is the one to mark. */
const noRelation = (row: ReagentRow, side: SideName, by: 'mass' | 'volume'): Problem =>
  by === 'mass'
    ? rowProblem(row, 'supply.strength.density', 'mass-needs-density')
    : rowProblem(row, side, 'solid-by-volume');

/** Volume of a weighed liquid, mass of a measured one: of what is measured out, solvent included. */
function partnerCell(row: ReagentRow, side: SideName, reading: SupplyReading, measured: MeasuredOut): Cell {
  const { density } = reading;
  if (density.state === 'absent') return noCell;
  if (density.state === 'blocked') return blockedCell(density.problems);
  const isMass = measured.by === 'mass';
  const worked = workOut({
    id: `${isMass ? 'volume' : 'mass'}:${row.id}:${side}`,
    title: `${isMass ? 'Volume' : 'Mass'} of ${rowLabel(row)}, ${side}`,
    symbol: isMass ? 'V' : 'm',
    formula: isMass ? 'm / rho' : 'V * rho',
    display: isMass ? 'V = m / ρ' : 'm = V · ρ',
    terms: [measured.term(isMass ? 'g' : 'mL'), density.term],
    unit: isMass ? 'mL' : 'g',
    citation: densitySource,
    notes: ['The mass is that of what is measured out, solvent and impurities included.'],
    where: rowPath(row.id, side),
  });
  return cellOf(worked, isMass ? volumeUnit : massUnit);
}
