import type { Problem } from '../result.ts';
import { blockedCell, noCell } from './cell.ts';
import { readChosen } from './entered-value.ts';
import { findLimiting } from './limiting-reagent.ts';
import type { Competitor, Limiting } from './limiting-reagent.ts';
import { rowPath, rowProblem } from './place.ts';
import { blankPortion, measureOf, measurePortion } from './portion.ts';
import type { Portion, SideName } from './portion.ts';
import { isMade } from './prepared-row.ts';
import type { PreparedRow } from './prepared-row.ts';
import { workRow } from './row-cells.ts';
import { theoreticalMass } from './theoretical-yield.ts';
import type { LimitingVerdict, ReagentRow, RowSide, TableSide } from './table-types.ts';

export interface ComputedSide {
  readonly rows: readonly RowSide[];
  readonly side: TableSide;
  /** Problems of each row's measure on this side, in table order. */
  readonly problems: readonly (readonly Problem[])[];
}

/**
 * Works out one side of the table: absolute measures, then the limiting reagent among them, then the
 * rows given in equivalents or mole per cent, then the product.
 *
 * A reactant given in equivalents does not compete: its amount follows from the limiting reagent.
 */
export function computeSide(
  prepared: readonly PreparedRow[],
  productRowId: string | null,
  equationProblems: readonly Problem[],
  side: SideName,
): ComputedSide {
  const portions = prepared.map(({ row, reading }) =>
    isMade(row) ? blankPortion : measurePortion(row, side, reading),
  );
  const found = settle(prepared, portions, equationProblems, side);
  const limiting = 'verdict' in found ? found : null;
  const blockers = limiting === null ? (found as Unsettled).problems : [];
  const rows: RowSide[] = [];
  const problems: (readonly Problem[])[] = [];
  for (const [index, one] of prepared.entries()) {
    const portion = portions[index] ?? blankPortion;
    const worked = workRow(one, portion, limiting, blockers, side);
    rows.push(worked.cells);
    problems.push([...portion.problems, ...worked.problems, ...misplacedMeasure(one.row, side)]);
  }
  // A row that was marked and then given another role is not made: a yield of it would be a wrong number.
  const product = prepared.find(({ row }) => row.id === productRowId && isMade(row)) ?? null;
  return { rows, side: sideYields(found, limiting, product, side), problems };
}

const misplacedMeasure = (row: ReagentRow, side: SideName): readonly Problem[] =>
  isMade(row) && measureOf(row, side) !== null ? [rowProblem(row, side, 'product-is-computed')] : [];

interface Unsettled {
  readonly state: 'none' | 'blocked';
  readonly problems: readonly Problem[];
}

/** Decides which reactant limits, or says what is missing for that. */
function settle(
  prepared: readonly PreparedRow[],
  portions: readonly Portion[],
  equationProblems: readonly Problem[],
  side: SideName,
): Limiting | Unsettled {
  const reactants = prepared.flatMap((one, index) =>
    one.row.role === 'reactant' ? [{ ...one, portion: portions[index] ?? blankPortion }] : [],
  );
  if (reactants.every(({ portion }) => portion.state === 'blank')) return { state: 'none', problems: [] };
  if (equationProblems.length > 0) return { state: 'blocked', problems: equationProblems };
  const problems: Problem[] = [];
  const bySpecies = new Map<number, { coefficient: number; portions: Competitor['portions'][number][] }>();
  for (const { row, place, portion, units } of reactants) {
    const { species, coefficient } = place;
    if (portion.state === 'relative') problems.push(...tooFewEquivalents(row, side));
    else if (species === null || coefficient === null) problems.push(...place.problems);
    else if (portion.state === 'blocked') problems.push(...portion.blockedBy);
    else if (portion.amountTerm !== null) {
      const known = bySpecies.get(species) ?? { coefficient, portions: [] };
      known.portions.push({ row, amountTerm: portion.amountTerm, unitsPerFormula: units });
      bySpecies.set(species, known);
    }
  }
  for (const { row, place, portion } of reactants) {
    // A second portion may be left out; the first says how much there is.
    const isOther = place.species !== null && bySpecies.has(place.species);
    if (portion.state === 'blank' && !isOther) problems.push(rowProblem(row, side, 'not-measured', { side }));
  }
  if (problems.length > 0) return { state: 'blocked', problems };
  if (bySpecies.size === 0) {
    const all = reactants.map(({ row }) => rowProblem(row, side, 'equivalents-need-limiting'));
    return { state: 'blocked', problems: all.slice(0, 1) };
  }
  const limiting = findLimiting([...bySpecies.values()], side);
  return 'verdict' in limiting ? limiting : { state: 'blocked', problems: limiting };
}

/** Fewer than one equivalent of a reactant would make it the limiting one, against its own definition. */
function tooFewEquivalents(row: ReagentRow, side: SideName): readonly Problem[] {
  const measure = measureOf(row, side);
  if (measure?.by !== 'equivalents') return [rowProblem(row, side, 'reactant-in-mole-percent')];
  const chosen = readChosen(measure.entered, ['equivalents', 'number'], rowPath(row.id, side));
  if (!chosen.ok || chosen.value.value >= 1) return [];
  return [rowProblem(row, side, 'equivalents-below-one', { equivalents: measure.entered.text.trim() })];
}

function sideYields(
  found: Limiting | Unsettled,
  limiting: Limiting | null,
  product: PreparedRow | null,
  side: SideName,
): TableSide {
  if (limiting === null) {
    const { state, problems } = found as Unsettled;
    const verdict: LimitingVerdict = state === 'none' ? { state } : { state, problems };
    const cell = state === 'none' ? noCell : blockedCell(problems);
    return { limiting: verdict, theoreticalYield: cell, theoreticalYieldIfOther: noCell };
  }
  const { verdict, other, rowName } = limiting;
  if (product === null) {
    const missing = blockedCell([{ code: 'product-missing', where: 'productRowId', facts: {} }]);
    return { limiting: verdict, theoreticalYield: missing, theoreticalYieldIfOther: noCell };
  }
  return {
    limiting: verdict,
    theoreticalYield: theoreticalMass(product, limiting.extent, rowName, `theoretical-yield:${side}`, side),
    theoreticalYieldIfOther:
      verdict.isCertain || other === null
        ? noCell
        : theoreticalMass(
            product,
            other.extent,
            other.name,
            `theoretical-yield-other:${side}`,
            side,
            ` if ${other.name} limits`,
          ),
  };
}
