import type { UnitSymbol } from '../../../../core/quantity/unit.ts';
import { formatQuantity } from '../../../../core/quantity/format.ts';
import type { ComputedRow, Measure, ReagentRow, RowSide } from '../../../../core/reaction/table-types.ts';
import { decimalsOf } from '../decimals.ts';
import type { Side } from '../../../draft/edits.ts';

export const columns = ['mass', 'volume', 'amount', 'equivalents'] as const;
export type Column = (typeof columns)[number];

export const columnHeads: Readonly<Record<Column, string>> = {
  mass: 'Mass',
  volume: 'Volume',
  amount: 'Amount',
  equivalents: 'Equiv.',
};

export const columnUnits: Readonly<Record<Column, readonly UnitSymbol[]>> = {
  mass: ['g', 'mg', 'kg'],
  volume: ['mL', 'L', 'µL', 'drops'],
  amount: ['mmol', 'mol', 'µmol'],
  equivalents: ['eq', 'mol %'],
};

/** The column a measure was typed in; a catalyst's mole percent stands with the equivalents. */
export const columnOf = (measure: Measure | null): Column | null =>
  measure === null ? null : measure.by === 'mole-percent' ? 'equivalents' : measure.by;

/** How a number typed into a column measures: `mol %` among the equivalents is its own way. */
export const measureBy = (column: Column, unit: UnitSymbol): Measure['by'] =>
  column === 'equivalents' && unit === 'mol %' ? 'mole-percent' : column;

/** Whether a column means anything for a row at all: a solid has no volume to measure out. */
export function isMeasurable(row: ReagentRow, column: Column): boolean {
  return column !== 'volume' || row.supply.kind !== 'solid';
}

/** Decimal places each column needs so that its points stand below each other. */
export function columnDecimals(
  rows: readonly ReagentRow[],
  computed: readonly ComputedRow[],
  side: Side,
): Readonly<Record<Column, number>> {
  const most: Record<Column, number> = { mass: 0, volume: 0, amount: 0, equivalents: 0 };
  for (const row of computed) {
    const typed = rows.find((candidate) => candidate.id === row.rowId)?.[side] ?? null;
    for (const column of columns) {
      const places =
        columnOf(typed) === column ? decimalsOf(typed?.entered.text ?? '') : cellDecimals(row[side], column);
      if (places > most[column] && places <= 4) most[column] = places;
    }
  }
  return most;
}

function cellDecimals(side: RowSide, column: Column): number {
  const cell = side[column];
  return cell.state === 'known' ? decimalsOf(formatQuantity(cell.quantity).number) : 0;
}
