import type { Problem } from '../result.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { blockedCell, enteredCell, noCell, workedCell } from './cell.ts';
import { readChosen } from './entered-value.ts';
import type { Limiting } from './limiting-reagent.ts';
import { inRow, rowLabel, rowPath, rowProblem } from './place.ts';
import { measureOf, portionFromAmount, workedAmount } from './portion.ts';
import type { Portion, SideName } from './portion.ts';
import { isAuxiliary, isMade } from './prepared-row.ts';
import type { PreparedRow } from './prepared-row.ts';
import { theoreticalMass } from './theoretical-yield.ts';
import type { Cell, RowSide } from './table-types.ts';
import { workOut } from './work-out.ts';

// The Gold Book from memory, not checked against the print.
const perCoefficient = 'extent of reaction: IUPAC Gold Book; equivalents: common practice';

export interface WorkedRow {
  readonly cells: RowSide;
  readonly problems: readonly Problem[];
}

/**
 * Fills the cells of one row on one side: mass in g, volume in mL, amount in mmol or mol, equivalents in eq,
 * excess in %. What is typed in equivalents or mole per cent is worked back from the limiting reagent.
 *
 * @param portion what followed from the row's own measure
 * @param limiting null while it is not known which reactant limits; `blockers` then say why
 * @error within the cells and the problems: those of the portion, of the blockers and of the equation
 * @source extent of reaction: IUPAC Gold Book (from memory); equivalents: common practice
 */
export function workRow(
  one: PreparedRow,
  portion: Portion,
  limiting: Limiting | null,
  blockers: readonly Problem[],
  side: SideName,
): WorkedRow {
  const { row } = one;
  if (isMade(row)) return { cells: madeRow(one, limiting, blockers, side), problems: [] };
  if (portion.state === 'relative') return relativeRow(one, limiting, blockers, side);
  const own = { mass: portion.mass, volume: portion.volume, amount: portion.amount };
  if (portion.state === 'blank' || isAuxiliary(row)) {
    return { cells: { ...own, equivalents: noCell, excess: noCell }, problems: [] };
  }
  const { amountTerm } = portion;
  const reasons = [...portion.blockedBy, ...blockers];
  if (amountTerm === null || limiting === null) {
    const cell = reasons.length > 0 ? blockedCell(reasons) : noCell;
    const hasExcess = one.place.coefficient !== null;
    return { cells: { ...own, equivalents: cell, excess: hasExcess ? cell : noCell }, problems: [] };
  }
  const equivalents = equivalentsCell(one, amountTerm('n', 'n'), limiting, side);
  return {
    cells: { ...own, equivalents, excess: excessCell(one, equivalents, limiting, side) },
    problems: [],
  };
}

/** ξ of the limiting reagent and, for a row outside the equation, its coefficient: n_lim = ξ ν_lim. */
function referenceTerms(one: PreparedRow, limiting: Limiting): { terms: WorkingTerm[]; notes: string[] } {
  const terms = [
    workingTerm('xi', 'ξ_{lim}', `extent of the limiting reagent, ${limiting.rowName}`, limiting.extent),
  ];
  if (one.units !== 1) {
    const meaning = `units of the equation in one of ${rowLabel(one.row)}`;
    terms.push(exactTerm('z', 'z', meaning, one.units, 'as entered: what the bottle brings'));
  }
  const { coefficient } = one.place;
  if (coefficient !== null) {
    terms.push(
      exactTerm(
        'nu',
        'ν',
        `coefficient of ${rowLabel(one.row)} in the equation`,
        coefficient,
        'balanced equation',
      ),
    );
    return { terms, notes: [] };
  }
  const meaning = `coefficient of ${limiting.rowName} in the equation`;
  terms.push(exactTerm('nulim', 'ν_{lim}', meaning, limiting.coefficient, 'balanced equation'));
  return { terms, notes: ['It is not in the equation: counted per mole of the limiting reagent.'] };
}

function equivalentsCell(one: PreparedRow, n: WorkingTerm, limiting: Limiting, side: SideName): Cell {
  const { terms, notes } = referenceTerms(one, limiting);
  const top = one.units === 1 ? 'n' : 'n * z';
  const isInEquation = one.place.coefficient !== null;
  const below = isInEquation ? 'nu * xi' : 'nulim * xi';
  const shownBelow = isInEquation ? 'ν · ξ_{lim}' : 'ν_{lim} · ξ_{lim}';
  const isLimiting =
    one.row.id === limiting.verdict.rowId && one.row.role === 'reactant' && isWhole(one, n, limiting);
  const worked = workOut({
    id: `equivalents:${one.row.id}:${side}`,
    title: `Equivalents of ${rowLabel(one.row)}, ${side}`,
    symbol: 'eq',
    formula: `${top} / (${below})`,
    display: `eq = ${top.replace(' * ', ' · ')} / (${shownBelow})`,
    terms: [n, ...terms],
    unit: 'eq',
    citation: perCoefficient,
    notes,
    where: rowPath(one.row.id, side),
    // One by definition: its uncertainty cancels down to rounding noise that must not choose the digits.
    ...(isLimiting ? { figures: null } : {}),
  });
  if (!worked.ok) return blockedCell([worked.error]);
  if (!isLimiting) return workedCell(worked.value);
  const exact = { value: 1, unit: 'eq', standardUncertainty: 0, significantFigures: null } as const;
  return workedCell({ ...worked.value, result: exact, contributions: [] });
}

/** True when the row is all there is of the limiting reagent, not one portion of several. */
function isWhole(one: PreparedRow, n: WorkingTerm, limiting: Limiting): boolean {
  const extent = (n.quantity.value * one.units) / limiting.coefficient;
  return Math.abs(extent - limiting.extent.result.value) <= 1e-9 * extent;
}

function excessCell(one: PreparedRow, equivalents: Cell, limiting: Limiting, side: SideName): Cell {
  if (one.place.coefficient === null || equivalents.state !== 'known') return noCell;
  const { working } = equivalents;
  if (working === null) return noCell;
  const worked = workOut({
    id: `excess:${one.row.id}:${side}`,
    title: `Excess of ${rowLabel(one.row)}, ${side}`,
    symbol: 'x',
    formula: '100 * (eq - 1)',
    display: 'x = 100 % · (eq − 1)',
    terms: [workingTerm('eq', 'eq', `equivalents of ${rowLabel(one.row)}`, working)],
    unit: '%',
    citation: perCoefficient,
    notes: one.row.id === limiting.verdict.rowId ? ['It is the limiting reagent.'] : [],
    where: rowPath(one.row.id, side),
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}

/** A row whose amount is chosen as equivalents or mole per cent of the limiting reagent. */
function relativeRow(
  one: PreparedRow,
  limiting: Limiting | null,
  blockers: readonly Problem[],
  side: SideName,
): WorkedRow {
  const { row, reading } = one;
  const measure = measureOf(row, side);
  if (measure === null) return { cells: emptyRow, problems: [] };
  const where = rowPath(row.id, side);
  const isPercent = measure.by === 'mole-percent';
  const chosen = readChosen(
    measure.entered,
    isPercent ? ['mole-percent', 'fraction'] : ['equivalents', 'number'],
    where,
  );
  if (!chosen.ok) {
    const problem = inRow(row, side, chosen.error);
    return { cells: blockedRow([problem]), problems: [problem] };
  }
  const typed = enteredCell(chosen.value);
  if (limiting === null) {
    const reasons = blockers.length > 0 ? blockers : [rowProblem(row, side, 'equivalents-need-limiting')];
    const cells = blockedRow(reasons);
    return {
      cells: isPercent ? cells : { ...cells, equivalents: typed },
      // What blocks the limiting reagent is told where it stands; only the absence is this row's own.
      problems: reasons.filter((problem) => problem.where === where),
    };
  }
  const { value } = chosen.value;
  const q = exactTerm(
    'q',
    isPercent ? 'x' : 'eq',
    `${isPercent ? 'share chosen' : 'equivalents chosen'} for ${rowLabel(row)}`,
    isPercent ? value / 100 : value,
    'as entered',
  );
  // Mole per cent always counts per mole of the limiting reagent.
  const counted: PreparedRow = isPercent ? { ...one, place: { ...one.place, coefficient: null } } : one;
  const { terms, notes } = referenceTerms(counted, limiting);
  const isInEquation = counted.place.coefficient !== null;
  const by = one.units === 1 ? '' : ' / z';
  const worked = workOut({
    id: `amount:${row.id}:${side}`,
    title: `Amount of ${rowLabel(row)}, ${side}`,
    symbol: 'n',
    formula: `q * ${isInEquation ? 'nu' : 'nulim'} * xi${by}`,
    display: `n = ${q.symbol} · ${isInEquation ? 'ν' : 'ν_{lim}'} · ξ_{lim}${by}`,
    terms: [q, ...terms],
    unit: 'mol',
    citation: perCoefficient,
    notes,
    where,
  });
  if (!worked.ok) return { cells: blockedRow([worked.error]), problems: [worked.error] };
  const amount = workedAmount(row, worked.value);
  const { mass, volume } = portionFromAmount(row, side, reading, amount.cell, amount.term);
  const equivalents = isPercent ? equivalentsCell(one, amount.term('n', 'n'), limiting, side) : typed;
  const excess = isPercent ? excessCell(one, equivalents, limiting, side) : chosenExcess(one, value, side);
  return { cells: { mass, volume, amount: amount.cell, equivalents, excess }, problems: [] };
}

function chosenExcess(one: PreparedRow, equivalents: number, side: SideName): Cell {
  if (one.place.coefficient === null) return noCell;
  const worked = workOut({
    id: `excess:${one.row.id}:${side}`,
    title: `Excess of ${rowLabel(one.row)}, ${side}`,
    symbol: 'x',
    formula: '100 * (eq - 1)',
    display: 'x = 100 % · (eq − 1)',
    terms: [exactTerm('eq', 'eq', `equivalents chosen for ${rowLabel(one.row)}`, equivalents, 'as entered')],
    unit: '%',
    citation: perCoefficient,
    where: rowPath(one.row.id, side),
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}

const emptyRow: RowSide = {
  mass: noCell,
  volume: noCell,
  amount: noCell,
  equivalents: noCell,
  excess: noCell,
};
const blockedRow = (problems: readonly Problem[]): RowSide => {
  const cell = blockedCell(problems);
  return { mass: cell, volume: cell, amount: cell, equivalents: cell, excess: noCell };
};

/** What complete conversion would make of a product or by-product. */
function madeRow(
  one: PreparedRow,
  limiting: Limiting | null,
  blockers: readonly Problem[],
  side: SideName,
): RowSide {
  const { row, place } = one;
  if (limiting === null || place.coefficient === null) {
    if (blockers.length === 0 && place.problems.length === 0) return emptyRow;
    const cell = blockedCell([...place.problems, ...blockers]);
    return { ...emptyRow, mass: cell, amount: cell };
  }
  const { terms } = referenceTerms(one, limiting);
  const by = one.units === 1 ? '' : ' / z';
  const worked = workOut({
    id: `amount:${row.id}:${side}`,
    title: `Amount of ${rowLabel(row)} on complete conversion, ${side}`,
    symbol: 'n',
    formula: `nu * xi${by}`,
    display: `n = ν · ξ_{lim}${by}`,
    terms,
    unit: 'mol',
    citation: perCoefficient,
    where: rowPath(row.id, side),
  });
  if (!worked.ok) return blockedRow([worked.error]);
  const mass = theoreticalMass(one, limiting.extent, limiting.rowName, `mass:${row.id}:${side}`, side);
  const amount = workedAmount(row, worked.value);
  // A gas is collected by its volume; what it weighs nobody sees.
  const volume =
    row.supply.kind === 'gas'
      ? portionFromAmount(row, side, one.reading, amount.cell, amount.term).volume
      : noCell;
  return { ...emptyRow, mass, volume, amount: amount.cell };
}
