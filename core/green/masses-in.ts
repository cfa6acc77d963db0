import { hillFormula } from '../formula/hill.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { convert, dimensionOf } from '../quantity/convert.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import { workingOf } from '../reaction/cell.ts';
import { isOfUnknownDrops } from '../reaction/drops.ts';
import { isBlank } from '../reaction/entered-value.ts';
import { measureOf } from '../reaction/portion.ts';
import { rowLabel, rowPath, rowProblem } from '../reaction/place.ts';
import type { Cell, ComputedRow, ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { enteredTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';

/** A mass that counts, g, or what stands in its way. */
export type MassTerm = WorkingTerm | Problem;
/** What stands in the way of a mass. */
export const isProblem = (mass: MassTerm): mass is Problem => 'code' in mass;
/** A mass in g that counts. */
export const isTerm = (mass: MassTerm): mass is WorkingTerm => !isProblem(mass);

/** What one row brought into the preparation. */
export interface MassIn {
  readonly row: ReagentRow;
  /** Stands on the left of the equation. */
  readonly isInEquation: boolean;
  readonly isWater: boolean;
  /** As measured out: a solution with its solvent. */
  readonly whole: MassTerm;
  /** The substance itself: of a solution what is dissolved in it. */
  readonly own: MassTerm;
  /** Worked out here and nowhere else. */
  readonly workings: readonly Working[];
}

const isWater = ({ formula }: ReagentRow): boolean => {
  const parsed = parseFormula(formula);
  return parsed.ok && parsed.value.charge === 0 && hillFormula(parsed.value) === 'H2O';
};

/** A cell as a term in `unit`; the working it came from stays traceable where it has that unit. */
function termOf(
  cell: Cell,
  unit: UnitSymbol,
  key: string,
  symbol: string,
  meaning: string,
  where: string,
): WorkingTerm | null {
  if (cell.state !== 'known' || dimensionOf(cell.quantity.unit) !== dimensionOf(unit)) return null;
  const working = workingOf(cell);
  if (working !== null && working.result.unit === unit) return workingTerm(key, symbol, meaning, working);
  return enteredTerm(key, symbol, meaning, convert(cell.quantity, unit), where);
}

function dissolved(row: ReagentRow, symbol: string, computed: ComputedRow): Working | null {
  const where = rowPath(row.id, 'taken');
  const name = rowLabel(row);
  const amount = termOf(computed.taken.amount, 'mol', 'n', 'n', `amount of ${name} taken`, where);
  const molarMass = workingOf(computed.molarMass);
  if (amount === null || molarMass === null) return null;
  const worked = derive({
    id: `dissolved:${row.id}`,
    title: `Mass of ${name} dissolved in what was taken`,
    symbol,
    formula: 'n * M',
    display: 'm = n · M',
    terms: [amount, workingTerm('M', 'M', `molar mass of ${name}`, molarMass)],
    unit: 'g',
    citation: 'definition of molar mass',
    where,
  });
  return worked.ok ? worked.value : null;
}

const isInDrops = (row: ReagentRow): boolean => isOfUnknownDrops(measureOf(row, 'taken'));

/** What the mass balance leaves out and says so: a few drops whose size nobody gave have no known mass. */
export const takenInDrops = (rows: readonly ReagentRow[]): readonly ReagentRow[] => rows.filter(isInDrops);

/** A solution without a density has no mass that is known, and none is assumed for it. */
const lacksDensity = ({ supply }: ReagentRow): boolean =>
  supply.kind === 'solution' && supply.strength !== null && isBlank(supply.strength.density ?? null);

/**
 * The masses of everything taken, row by row. What was planned and not taken is left out; what was
 * taken and has no known mass is a problem, never a zero, except for drops (`takenInDrops`).
 *
 * @error within the terms: mass-unknown, solution-mass-unknown (facts: name)
 */
export function massesIn(rows: readonly ReagentRow[], table: ReagentTable): readonly MassIn[] {
  return rows.flatMap((row, index): MassIn[] => {
    const computed = table.rows[index];
    const isMade = row.role === 'product' || row.role === 'by-product';
    if (isMade || computed === undefined || measureOf(row, 'taken') === null || isInDrops(row)) return [];
    const name = rowLabel(row);
    const [key, symbol] = [`m_${index}`, `m_{${index + 1}}`];
    const meaning = `mass of ${name} taken`;
    const unknown: Problem = rowProblem(row, 'taken', 'mass-unknown');
    const known = termOf(computed.taken.mass, 'g', key, symbol, meaning, rowPath(row.id, 'taken'));
    const whole =
      known ??
      (lacksDensity(row) ? rowProblem(row, 'supply.strength.density', 'solution-mass-unknown') : unknown);
    const shared = { row, isInEquation: computed.coefficient !== null, isWater: isWater(row), whole };
    if (row.supply.kind !== 'solution') return [{ ...shared, own: whole, workings: [] }];
    const solute = dissolved(row, symbol, computed);
    const own =
      solute === null
        ? unknown
        : workingTerm(key, symbol, `mass of ${name} dissolved in the solution taken`, solute);
    // The mass of a solution that was measured by volume is a working of the table's own.
    return [{ ...shared, own, workings: solute === null ? [] : [solute] }];
  });
}
