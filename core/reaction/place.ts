import type { Problem } from '../result.ts';
import type { ReagentRow } from './table-types.ts';

/**
 * Field path of a row: `rows.<id>.supply.density`. Rows are named by id, not by position, so that a
 * problem stays with its row when rows are moved; the same text names the source of an uncertainty.
 */
export const rowPath = (rowId: string, field: string): string => `rows.${rowId}.${field}`;

/** The field of `rowId` that a path names (`supply.density`), or null when it names something else. */
export function fieldOfRow(path: string, rowId: string): string | null {
  const start = `rows.${rowId}.`;
  return path.startsWith(start) ? path.slice(start.length) : null;
}

/** What a row is called in sentences: its name, else its formula, else that it has none. */
export const rowLabel = (row: Pick<ReagentRow, 'name' | 'formula'>): string =>
  row.name.trim() || row.formula.trim() || 'unnamed row';

/** A problem at one field of a row; every fact list carries the row's name for the sentence. */
export const rowProblem = (
  row: ReagentRow,
  field: string,
  code: string,
  facts: Problem['facts'] = {},
): Problem => ({ code, where: rowPath(row.id, field), facts: { name: rowLabel(row), ...facts } });

/** A parser's problem, told as the row's: the fault keeps its position in what was typed. */
export const inRow = (row: ReagentRow, field: string, problem: Problem): Problem => ({
  ...problem,
  where: rowPath(row.id, field),
  facts: { name: rowLabel(row), ...problem.facts },
});
