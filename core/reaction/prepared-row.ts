import type { RowPlace } from './stoichiometry.ts';
import { unitsPerFormulaOf } from './stoichiometry.ts';
import type { SupplyReading } from './relation.ts';
import type { ReagentRow } from './table-types.ts';

/** A row with all that does not depend on the side. */
export interface PreparedRow {
  readonly row: ReagentRow;
  readonly reading: SupplyReading;
  readonly place: RowPlace;
  /** Units of the equation in one formula unit of the bottle; 1 where it cannot be used. */
  readonly units: number;
}

/** Gathers what both sides of a row share: its bottle as read, and its place in the equation. */
export const prepareRow = (row: ReagentRow, reading: SupplyReading, place: RowPlace): PreparedRow => ({
  row,
  reading,
  place,
  units: unitsPerFormulaOf(row) ?? 1,
});

/** Products and by-products are made, not measured out. */
export const isMade = (row: ReagentRow): boolean => row.role === 'product' || row.role === 'by-product';

/** Solvents, drying agents and work-up take no part in the stoichiometry. */
export const isAuxiliary = (row: ReagentRow): boolean =>
  row.role === 'solvent' || row.role === 'work-up' || row.role === 'drying-agent';
