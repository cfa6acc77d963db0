import { dimensionOf } from '../quantity/convert.ts';
import { formatQuantity, printedUnit } from '../quantity/format.ts';
import { rowLabel } from '../reaction/place.ts';
import type { Cell, ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import type { Working } from '../workings/working.ts';

export type StepField = 'mass' | 'volume' | 'amount' | 'name';

/** A stretch of a step's text. A value can be opened where it was computed. */
export type StepPart =
  | { readonly kind: 'text'; readonly text: string }
  | {
      readonly kind: 'value';
      readonly text: string;
      readonly rowId: string;
      readonly field: StepField;
      readonly working: Working | null;
    }
  /** The table cannot say (yet); the text names what belongs here: `[mass of salicylic acid]`. */
  | { readonly kind: 'missing'; readonly text: string; readonly rowId: string; readonly field: StepField };

const slot = /\{(mass|volume|amount|name):([^{}]+)\}/gu;
const thinSpace = '\u2009';

/** A typed cell prints as typed, a computed one to its figures. */
function valueText(
  cell: Extract<Cell, { state: 'known' }>,
  row: ReagentRow,
  side: 'planned' | 'taken',
): string {
  const measure = row[side];
  // One counts drops out, whatever volume they make up.
  const isCounted = measure?.entered.unit === 'drops' && dimensionOf(cell.quantity.unit) === 'volume';
  if (measure === null || !(cell.isEntered || isCounted)) return formatQuantity(cell.quantity).text;
  const number = measure.entered.text.trim().replace('-', '\u2212');
  const unit = printedUnit(measure.entered.unit);
  return unit === '' ? number : `${number}${thinSpace}${unit}`;
}

/**
 * Fills a step's `{mass:rowId}`, `{volume:rowId}`, `{amount:rowId}` and `{name:rowId}` from the
 * table, so that a scaled table gives a scaled procedure.
 *
 * A slot that names no row of the table stays as it was typed.
 */
export function stepParts(
  text: string,
  table: ReagentTable,
  rows: readonly ReagentRow[],
  side: 'planned' | 'taken',
): readonly StepPart[] {
  const parts: StepPart[] = [];
  const say = (piece: string): void => {
    if (piece !== '') parts.push({ kind: 'text', text: piece });
  };
  let at = 0;
  for (const match of text.matchAll(slot)) {
    const [whole, name, rowId = ''] = match;
    const field = name as StepField;
    say(text.slice(at, match.index));
    at = match.index + whole.length;
    const index = rows.findIndex((row) => row.id === rowId);
    const row = rows[index];
    if (row === undefined) {
      say(whole);
    } else if (field === 'name') {
      parts.push({ kind: 'value', text: rowLabel(row), rowId, field, working: null });
    } else {
      const cell = table.rows.find((one) => one.rowId === rowId)?.[side][field];
      parts.push(
        cell?.state === 'known'
          ? { kind: 'value', text: valueText(cell, row, side), rowId, field, working: cell.working }
          : { kind: 'missing', text: `[${field} of ${rowLabel(row)}]`, rowId, field },
      );
    }
  }
  say(text.slice(at));
  return parts;
}

/** The filled step as one sentence; see `stepParts`. */
export const fillStepText = (
  text: string,
  table: ReagentTable,
  rows: readonly ReagentRow[],
  side: 'planned' | 'taken',
): string =>
  stepParts(text, table, rows, side)
    .map((part) => part.text)
    .join('');
