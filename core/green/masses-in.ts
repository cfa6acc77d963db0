import { hillFormula } from '../formula/hill.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { convert, dimensionOf } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import { workingOf } from '../reaction/cell.ts';
import { measureOf } from '../reaction/portion.ts';
import { rowLabel, rowPath, rowProblem } from '../reaction/place.ts';
import type { Cell, ComputedRow, ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, enteredTerm, workingTerm } from '../workings/term.ts';
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
  /** What `whole` takes for granted, in a sentence; '' where nothing. */
  readonly assumption: string;
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

const waterDensity = (key: string, symbol: string): WorkingTerm =>
  constantTerm(
    key,
    symbol,
    'density of water, for want of that of the solution',
    { value: 1, unit: 'g/mL', standardUncertainty: null, significantFigures: 2 },
    'assumption, to be stated: the solution counts like water',
  );

/**
 * A solution whose label gives no density has no mass of its own. For a mass balance it counts like
 * water, and a mixture by volume by its parts; that is said wherever the result is.
 */
function countedLikeWater(row: ReagentRow, symbol: string, computed: ComputedRow): Working | null {
  if (row.supply.kind !== 'solution' || row.supply.strength === null) return null;
  const where = rowPath(row.id, 'taken');
  const name = rowLabel(row);
  const volume = termOf(computed.taken.volume, 'mL', 'V', 'V', `volume of ${name} taken`, where);
  if (volume === null) return null;
  const shared = {
    id: `assumed-mass:${row.id}`,
    title: `Mass of ${name} taken, counted like water`,
    symbol,
    unit: 'g',
    citation: 'mass balance with an assumed density',
    where,
  } as const;
  const { strength } = row.supply;
  const neat =
    strength.kind === 'volume-fraction' && strength.neatDensity !== null
      ? parseEntered(strength.neatDensity, 'density', where)
      : null;
  const share =
    strength.kind === 'volume-fraction'
      ? parseEntered(strength.entered, ['volume-fraction', 'fraction'], where)
      : null;
  const worked =
    neat?.ok === true && share?.ok === true
      ? derive({
          ...shared,
          title: `Mass of ${name} taken, counted by its parts`,
          formula: 'V * (phi / 100 * rho + (1 - phi / 100) * rho_w)',
          display: `${symbol} = V · (φ · ρ + (1 − φ) · ρ_{w})`,
          terms: [
            volume,
            enteredTerm('phi', 'φ', `volume fraction of ${name}, in %`, share.value, where),
            enteredTerm('rho', 'ρ', 'density of the pure liquid', convert(neat.value, 'g/mL'), where),
            waterDensity('rho_w', 'ρ_{w}'),
          ],
        })
      : derive({
          ...shared,
          formula: 'V * rho_w',
          display: `${symbol} = V · ρ_{w}`,
          terms: [volume, waterDensity('rho_w', 'ρ_{w}')],
        });
  return worked.ok ? worked.value : null;
}

const assumptionOf = ({ supply }: ReagentRow, name: string): string =>
  supply.kind === 'solution' &&
  supply.strength?.kind === 'volume-fraction' &&
  supply.strength.neatDensity !== null
    ? `${name} counts by its parts, as if the volumes added up.`
    : `${name} counts like water (1.0\u2009g/mL) for want of a density.`;

const isInDrops = (row: ReagentRow): boolean => measureOf(row, 'taken')?.entered.unit === 'drops';

/** What the mass balance leaves out and says so: a few drops have no mass that is known. */
export const takenInDrops = (rows: readonly ReagentRow[]): readonly ReagentRow[] => rows.filter(isInDrops);

/**
 * The masses of everything taken, row by row. What was planned and not taken is left out; what was
 * taken and has no known mass is a problem, never a zero, except for drops (`takenInDrops`).
 *
 * @error within the terms: mass-unknown (facts: name)
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
    const shared = { row, isInEquation: computed.coefficient !== null, isWater: isWater(row) };
    if (row.supply.kind !== 'solution') {
      const whole = known ?? unknown;
      return [{ ...shared, whole, assumption: '', own: whole, workings: [] }];
    }
    const solute = dissolved(row, symbol, computed);
    const assumed = known === null ? countedLikeWater(row, symbol, computed) : null;
    return [
      {
        ...shared,
        whole: known ?? (assumed === null ? unknown : workingTerm(key, symbol, meaning, assumed)),
        assumption: assumed === null ? '' : assumptionOf(row, name),
        own:
          solute === null
            ? unknown
            : workingTerm(key, symbol, `mass of ${name} dissolved in the solution taken`, solute),
        workings: [solute, assumed].filter((one) => one !== null),
      },
    ];
  });
}
