import { canonical, readCanonical } from '../../core/record/canonical.ts';
import { hash, listOf, matching, object, oneOf, text, type Shape } from '../../core/record/shape.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { csvCell } from '../../core/record/trail-table.ts';

/** The list of a class deposited together, for programs. People read `class-list.csv`. */
export const classListName = 'data/class-list.json';
export const classTableName = 'data/class-list.csv';

/** One record of the class. */
export interface ClassLine {
  /** `records/001-fennel.zip`, within `data/`. */
  readonly file: string;
  readonly record: string;
  readonly title: string;
  readonly course: string;
  readonly owner: string;
  /** Signed entries in it, and how many of them are countersigned. */
  readonly entryCount: number;
  readonly countersignedCount: number;
  /** SHA-256 of the file. */
  readonly sha256: string;
}

export interface ClassList {
  readonly type: 'class';
  readonly format: 1;
  readonly institution: string;
  readonly department: string;
  readonly departmentKey: string;
  readonly notebook: string;
  readonly depositedAt: string;
  readonly records: readonly ClassLine[];
}

/** A class of more records than this is no class. */
const mostRecords = 2_000;

const count: Shape = (value, path) =>
  typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 1e6 ? null : path;

const shape = object({
  type: oneOf('class'),
  format: oneOf(1),
  institution: text(),
  department: text(),
  departmentKey: matching(/^[0-9a-f]{64}$/),
  notebook: text(200),
  depositedAt: text(40),
  records: listOf(
    object({
      file: matching(/^records\/[a-z0-9][a-z0-9-]{0,99}\.zip$/),
      record: text(200),
      title: text(),
      course: text(),
      owner: text(),
      entryCount: count,
      countersignedCount: count,
      sha256: hash,
    }),
    mostRecords,
  ),
});

export const classListText = (list: ClassList): string => canonical(list);

/** @error those of `readCanonical`; format-newer, wrong-shape with the path at fault */
export function readClassList(source: string): Result<ClassList, Problem> {
  const read = readCanonical(source, { maxLength: 10_000_000 });
  if (!read.ok) return read;
  const format = (read.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format > 1) {
    return fail({ code: 'format-newer', where: 'format', facts: { format } });
  }
  const wrong = shape(read.value, '');
  const isEmpty = wrong === null && (read.value as ClassList).records.length === 0;
  return wrong === null && !isEmpty
    ? ok(read.value as ClassList)
    : fail({ code: 'wrong-shape', where: wrong ?? 'records', facts: { kind: 'deposit' } });
}

/** The same for people, in any spreadsheet. */
export function classTable(list: ClassList): string {
  const row = (cells: readonly (string | number)[]): string => `${cells.map(csvCell).join(',')}\r\n`;
  const heads = ['file', 'kept by', 'record', 'course', 'signed entries', 'countersigned', 'SHA-256'];
  const lines = list.records.map((one) =>
    row([one.file, one.owner, one.title, one.course, one.entryCount, one.countersignedCount, one.sha256]),
  );
  return `\uFEFF${row(heads)}${lines.join('')}`;
}
