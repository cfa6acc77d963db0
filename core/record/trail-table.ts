import type { TrailLine } from '../contract/views.ts';

const heads = [
  'event',
  'time (UTC)',
  'local offset (min)',
  'who',
  'role',
  'what',
  'place',
  'old',
  'new',
  'reason',
  'computer',
  'clock set back',
  'hash (SHA-256)',
];

/**
 * One cell. Text that a spreadsheet would take for a formula gets an apostrophe in front, so that it
 * is shown and never run; a number stays a number.
 *
 * @source RFC 4180 (quoting); the list of leading characters is common practice, no source
 */
export function csvCell(value: string | number): string {
  const text = String(value).replace(/\0/g, '');
  const isNumber = /^-?\d+(\.\d+)?$/.test(text);
  const safe = !isNumber && /^\s*[=+\-@\t\r\n|%＝＋－＠]/u.test(text) ? `'${text}` : text;
  return /[",\r\n;']/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

const row = (cells: readonly (string | number)[]): string => `${cells.map(csvCell).join(',')}\r\n`;

/** The first line of the table, after a byte order mark that tells spreadsheets it is UTF-8. */
export const trailTableHead = (): string => `\uFEFF${row(heads)}`;

/** An event as lines of the table: one for each change, or one where it changed nothing by field. */
export function trailTableRows(line: TrailLine): string {
  const changes = line.changes.length === 0 ? [{ path: '', old: '', new: '' }] : line.changes;
  return changes
    .map((change) =>
      row([
        line.seq,
        line.at,
        line.offsetMinutes,
        line.who,
        line.role ?? '',
        line.what,
        change.path,
        change.old,
        change.new,
        line.reason,
        line.device,
        line.isClockBack ? 'yes' : '',
        line.hash,
      ]),
    )
    .join('');
}

/** `audit-trail-2026-03-02.csv` @param at UTC, ISO 8601 */
export const trailTableName = (at: string): string => `audit-trail-${at.slice(0, 10)}.csv`;
