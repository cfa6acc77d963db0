import { hillFormula } from '../formula/hill.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { convert } from '../quantity/convert.ts';
import { workingOf } from '../reaction/cell.ts';
import { measureOf } from '../reaction/portion.ts';
import { rowLabel, rowPath, rowProblem } from '../reaction/place.ts';
import type { Cell, ComputedRow, ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { enteredTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';

/** A mass that counts, g, or what stands in its way. */
export type MassTerm = WorkingTerm | Problem;
export const isProblem = (mass: MassTerm): mass is Problem => 'code' in mass;
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
  /** Worked out here and nowhere else: the mass of a solute. */
  readonly workings: readonly Working[];
}

const isWater = ({ formula }: ReagentRow): boolean => {
  const parsed = parseFormula(formula);
  return parsed.ok && parsed.value.charge === 0 && hillFormula(parsed.value) === 'H2O';
};

const isKnown = (cell: Cell | undefined): cell is Extract<Cell, { state: 'known' }> =>
  cell?.state === 'known';

/** A cell as a term in `unit`; the working it came from stays traceable where it has that unit. */
function termOf(cell: Cell | undefined, key: string, symbol: string, meaning: string, where: string) {
  if (!isKnown(cell)) return null;
  const unit = key.startsWith('n_') ? 'mol' : 'g';
  const working = workingOf(cell);
  if (working !== null && working.result.unit === unit) return workingTerm(key, symbol, meaning, working);
  return enteredTerm(key, symbol, meaning, convert(cell.quantity, unit), where);
}

function dissolved(row: ReagentRow, index: number, computed: ComputedRow): Working | null {
  const where = rowPath(row.id, 'taken');
  const name = rowLabel(row);
  const amount = termOf(computed.taken.amount, 'n_taken', 'n', `amount of ${name} taken`, where);
  const molarMass = workingOf(computed.molarMass);
  if (amount === null || molarMass === null) return null;
  const worked = derive({
    id: `dissolved:${row.id}`,
    title: `Mass of ${name} dissolved in what was taken`,
    symbol: `m_{${index + 1}}`,
    formula: 'n_taken * M',
    display: 'm = n · M',
    terms: [amount, workingTerm('M', 'M', `molar mass of ${name}`, molarMass)],
    unit: 'g',
    citation: 'definition of molar mass',
    where,
  });
  return worked.ok ? worked.value : null;
}

/**
 * The masses of everything taken, row by row. What was planned and not taken is left out; what was
 * taken and has no known mass is a problem, never a zero.
 *
 * @error within the terms: mass-unknown (facts: name)
 */
export function massesIn(rows: readonly ReagentRow[], table: ReagentTable): readonly MassIn[] {
  return rows.flatMap((row, index): MassIn[] => {
    const computed = table.rows[index];
    const isMade = row.role === 'product' || row.role === 'by-product';
    if (isMade || computed === undefined || measureOf(row, 'taken') === null) return [];
    const name = rowLabel(row);
    const where = rowPath(row.id, 'taken');
    const unknown: Problem = rowProblem(row, 'taken', 'mass-unknown');
    const symbol = `m_{${index + 1}}`;
    const whole =
      termOf(computed.taken.mass, `m_${index}`, symbol, `mass of ${name} taken`, where) ?? unknown;
    const shared = { row, isInEquation: computed.coefficient !== null, isWater: isWater(row), whole };
    if (row.supply.kind !== 'solution') return [{ ...shared, own: whole, workings: [] }];
    const solute = dissolved(row, index, computed);
    const meaning = `mass of ${name} dissolved in the solution taken`;
    return [
      {
        ...shared,
        own: solute === null ? unknown : workingTerm(`m_${index}`, symbol, meaning, solute),
        workings: solute === null ? [] : [solute],
      },
    ];
  });
}
