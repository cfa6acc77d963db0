import { convert } from '../../../core/quantity/convert.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import type {
  Cell,
  ComputedRow,
  Measure,
  ReagentRow,
  ReagentTable,
  RowRole,
  Strength,
  Supply,
} from '../../../core/reaction/table-types.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

/** `'2.00 g'` → text and unit, split at the first blank. */
export function entered(typed: string): Entered {
  const at = typed.indexOf(' ');
  return at < 0
    ? { text: typed, unit: '1' }
    : { text: typed.slice(0, at), unit: typed.slice(at + 1) as UnitSymbol };
}

const byUnit = (unit: string): Measure['by'] => {
  if (['g', 'mg', 'kg'].includes(unit)) return 'mass';
  if (['mL', 'L', 'µL', 'drops'].includes(unit)) return 'volume';
  if (['mol', 'mmol', 'µmol'].includes(unit)) return 'amount';
  return unit === 'eq' ? 'equivalents' : 'mole-percent';
};

/** `'10 mL'` measured with an instrument, or with none said. */
export function measure(typed: string | null, instrument: string | null = null): Measure | null {
  if (typed === null) return null;
  const value = entered(typed);
  return { by: byUnit(value.unit), entered: value, instrument };
}

/** Wholly pure unless said: the textbooks' examples count that way. */
export const solid = (assay: string | null = '100 %'): Supply => ({
  kind: 'solid',
  assay: assay === null ? null : entered(assay),
});
export const neat = (density: string | null, assay: string | null = '100 %'): Supply => ({
  kind: 'neat-liquid',
  density: density === null ? null : entered(`${density} g/mL`),
  densityTemperature: entered('20 °C'),
  assay: assay === null ? null : entered(assay),
});
export const solution = (strength: Strength | null): Supply => ({ kind: 'solution', strength });
export const massFraction = (percent: string, density: string | null): Supply =>
  solution({
    kind: 'mass-fraction',
    entered: entered(`${percent} % w/w`),
    density: density === null ? null : entered(`${density} g/mL`),
  });
export const massPerVolume = (percent: string): Supply =>
  solution({ kind: 'mass-per-volume', entered: entered(`${percent} % w/v`) });
export const molar = (molPerL: string): Supply =>
  solution({ kind: 'amount-concentration', entered: entered(`${molPerL} mol/L`) });

interface RowOptions {
  readonly equationFormula?: string;
  readonly units?: number;
  readonly planned?: Measure | null;
  readonly instrument?: string | null;
}

/** One row, planned and taken alike unless said. */
export function row(
  name: string,
  formula: string,
  role: RowRole,
  supply: Supply,
  typed: string | null,
  options: RowOptions = {},
): ReagentRow {
  const taken = measure(typed, options.instrument ?? null);
  return {
    id: name.replaceAll(' ', '-'),
    name,
    formula,
    equationFormula: options.equationFormula ?? formula,
    unitsPerFormula: options.units ?? 1,
    compoundId: null,
    smiles: null,
    origin: null,
    role,
    supply,
    planned: options.planned === undefined ? taken : options.planned,
    taken,
    remark: '',
  };
}

/** A table whose main product is the first row of that role. */
export const tableOf = (equation: string, ...rows: readonly ReagentRow[]): ReagentTable =>
  computeTable({ equation, rows, productRowId: rows.find((one) => one.role === 'product')?.id ?? null });

export function rowOf(table: ReagentTable, name: string): ComputedRow {
  const found = table.rows.find((one) => one.rowId === name.replaceAll(' ', '-'));
  if (found === undefined) throw new Error(`no row ${name}`);
  return found;
}

/** Value of a known cell; a test that meets another state fails with the reason. */
export function valueOf(cell: Cell): number {
  if (cell.state === 'known') return cell.quantity.value;
  throw new Error(
    cell.state === 'blocked' ? `blocked: ${cell.problems.map((one) => one.code).join()}` : 'no cell',
  );
}

export const codesOf = (cell: Cell): readonly string[] =>
  cell.state === 'blocked' ? cell.problems.map((one) => one.code) : [];

export function limitingOf(table: ReagentTable, side: 'planned' | 'taken' = 'taken') {
  const { limiting } = table[side];
  if (limiting.state !== 'found') {
    const why =
      limiting.state === 'blocked' ? limiting.problems.map((one) => one.code).join() : 'nothing there';
    throw new Error(`no limiting reagent: ${why}`);
  }
  return limiting;
}

/** Amount taken in mmol; the cell itself turns to mol from one mole on. */
export function amountOf(table: ReagentTable, name: string): number {
  const cell = rowOf(table, name).taken.amount;
  return cell.state === 'known' ? convert(cell.quantity, 'mmol').value : valueOf(cell);
}
