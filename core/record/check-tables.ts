import type { StoredRow } from './attest.ts';
import type { CheckInput, StoredSealed, Witness } from './check-input.ts';
import type { AttestedTable } from './objects.ts';

/** Gives the rows of a table, every column, in the order of their place in the file. */
export type ReadTable = (table: string) => Iterable<StoredRow>;

const attestedTables: readonly AttestedTable[] = [
  'notebook',
  'person',
  'sealed_key',
  'seal_key',
  'record',
  'entry',
  'draft',
  'comment',
  'attachment',
];

const textIn = (row: StoredRow, column: string): string => {
  const value = row[column];
  return typeof value === 'string' ? value : '';
};

/** A row of a sealed table as there is to check. */
export const sealedRow = (row: StoredRow): StoredSealed => ({
  columns: row,
  bytes: textIn(row, 'bytes'),
  hash: textIn(row, 'hash'),
  signature: row['signature'] === undefined || row['signature'] === null ? null : textIn(row, 'signature'),
});

function* mapped<T>(rows: Iterable<StoredRow>, map: (row: StoredRow) => T): Generator<T> {
  for (const row of rows) yield map(row);
}

const again = <T>(make: () => Iterable<T>): Iterable<T> => ({
  [Symbol.iterator]: () => make()[Symbol.iterator](),
});

function* all<T extends string>(
  tables: readonly T[],
  read: ReadTable,
): Generator<{ readonly table: T; readonly row: StoredRow }> {
  for (const table of tables) {
    for (const row of read(table)) yield { table, row };
  }
}

/**
 * What the tables of a notebook give to check.
 *
 * @param pinnedKey the department's key or printed fingerprint from outside the file, or null
 * @param outside heads seen outside this file: receipts, bound PDFs, other notebooks
 */
export function inputFromTables(
  read: ReadTable,
  pinnedKey: string | null,
  outside: readonly Witness[] = [],
): CheckInput {
  const notebook = [...read('notebook')][0] ?? {};
  return {
    scope: 'notebook',
    notebook: textIn(notebook, 'id'),
    departmentKey: textIn(notebook, 'department_key'),
    pinnedKey,
    certificates: [...mapped(read('certificate'), sealedRow)],
    revocations: [...mapped(read('revocation'), sealedRow)],
    checkpoints: [...mapped(read('checkpoint'), sealedRow)],
    versions: again(() => mapped(read('version'), sealedRow)),
    signatures: again(() => mapped(read('signature'), sealedRow)),
    events: again(() => mapped(read('event'), sealedRow)),
    foreignEvents: again(() => mapped(read('foreign_event'), sealedRow)),
    rows: again(() => all(attestedTables, read)),
    attachments: again(() =>
      mapped(read('attachment'), (row) => ({
        sha256: textIn(row, 'sha256'),
        data: row['data'] instanceof Uint8Array ? row['data'] : new Uint8Array(),
      })),
    ),
    ownCompounds: again(() => mapped(read('own_compound'), sealedRow)),
    witnesses: outside,
  };
}
