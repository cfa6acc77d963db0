import type { EntryComputation } from '../entry/entry-computation.ts';
import { snapshot } from '../entry/snapshot.ts';
import { formatQuantity } from '../quantity/format.ts';
import type { Cell as TableCell, Measure } from '../reaction/table-types.ts';
import type { ComputedSnapshot, SnapshotLine } from '../record/objects.ts';
import { entered, marked } from './runs.ts';
import type { Line } from './report-document.ts';

/**
 * The computed values of an entry as they are to be printed. What was signed is shown as signed: where
 * today's rules or constants give another value, the frozen one is printed in its place.
 */
export class PrintedValues {
  private readonly now: ReadonlyMap<string, SnapshotLine>;
  private readonly signed: ReadonlyMap<string, SnapshotLine> | null;
  /** All lines in the order they were frozen, or as they stand for a draft. */
  readonly lines: readonly SnapshotLine[];
  readonly engine: string;

  constructor(computation: EntryComputation, frozen: ComputedSnapshot | null) {
    const current = snapshot(computation);
    const shown = frozen ?? current;
    this.now = byId(current.lines);
    this.signed = frozen === null ? null : byId(frozen.lines);
    this.lines = shown.lines;
    this.engine = shown.engine;
  }

  /** Ids of values that would come out otherwise today. */
  get changed(): readonly string[] {
    if (this.signed === null) return [];
    return [...this.signed].filter(([id, line]) => !this.isSame(id, line)).map(([id]) => id);
  }

  private isSame(id: string, line: SnapshotLine): boolean {
    const now = this.now.get(id);
    return now !== undefined && now.value === line.value && now.unit === line.unit;
  }

  line(id: string): SnapshotLine | undefined {
    return (this.signed ?? this.now).get(id);
  }

  /** A sentence of the snapshot, such as `melting-text`; '' when there is none. */
  sentence(id: string): string {
    return this.line(id)?.value ?? '';
  }

  /** A cell of the table: as typed where it was typed, else as signed or as computed. Null when it says nothing. */
  cell(cell: TableCell, measure: Measure | null = null): string | null {
    if (cell.state !== 'known') return null;
    if (cell.isEntered && measure !== null) return entered(measure.entered);
    const id = cell.working?.id;
    const signed = id === undefined ? undefined : this.signed?.get(id);
    if (signed !== undefined && !this.isSame(signed.id, signed)) return valueText(signed);
    return formatQuantity(cell.quantity).text;
  }

  /** Value with its uncertainty, `78.2 ± 0.5 %`; null when it is not known. */
  full(cell: TableCell): string | null {
    if (cell.state !== 'known') return null;
    const line = cell.working === null ? undefined : this.line(cell.working.id);
    return line === undefined ? formatQuantity(cell.quantity).text : valueText(line);
  }
}

const byId = (lines: readonly SnapshotLine[]): ReadonlyMap<string, SnapshotLine> =>
  new Map(lines.map((line) => [line.id, line]));

export const valueText = ({ value, unit }: SnapshotLine): string =>
  unit === '' ? value : `${value}\u2009${unit}`;

export const valueLine = (line: SnapshotLine): Line => marked(valueText(line));
