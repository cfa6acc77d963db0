import { convert } from '../quantity/convert.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import type { Working } from '../workings/working.ts';
import type { Cell } from './table-types.ts';

export const noCell: Cell = { state: 'none' };

export const blockedCell = (problems: readonly Problem[]): Cell => ({ state: 'blocked', problems });

/** A computed cell; the working stays in the unit it was worked in, the cell shows `unit`. */
export const workedCell = (working: Working, unit: UnitSymbol = working.result.unit): Cell => ({
  state: 'known',
  quantity: convert(working.result, unit),
  isEntered: false,
  working,
});

/** The one cell that was typed, as typed. */
export const enteredCell = (quantity: Quantity): Cell => ({
  state: 'known',
  quantity,
  isEntered: true,
  working: null,
});

/** The quantity of a known cell, else null. */
export const quantityOf = (cell: Cell): Quantity | null => (cell.state === 'known' ? cell.quantity : null);

export const workingOf = (cell: Cell): Working | null => (cell.state === 'known' ? cell.working : null);

export const problemsOf = (cell: Cell): readonly Problem[] => (cell.state === 'blocked' ? cell.problems : []);
