import { canonical } from './canonical.ts';
import { domainHash, type RecordCrypto } from './domain.ts';
import type { AttestedTable, Evidence, Sealed } from './objects.ts';

/** A row as `SELECT *` gives it: snake_case columns, no booleans. */
export type StoredRow = Readonly<Record<string, string | number | null | Uint8Array>>;

/** The column that names a row of each table. */
export const rowId = {
  notebook: 'id',
  person: 'id',
  sealed_key: 'id',
  seal_key: 'id',
  record: 'id',
  entry: 'id',
  draft: 'entry_id',
  comment: 'id',
  attachment: 'sha256',
} as const satisfies Record<AttestedTable, string>;

/**
 * The working copy of a draft runs ahead of the trail between two audits (see `draft-audit.ts`), so
 * the trail vouches for its base.
 */
const leftOut: Partial<Record<AttestedTable, readonly string[]>> = {
  draft: ['content', 'revision', 'saved_at', 'saved_by'],
};

/**
 * What an event says about a row it wrote: the hash over all its columns. Null columns are left out,
 * so that a later migration may add columns that start as null without disturbing old evidence.
 *
 * @param row exactly as the database gives it back after the write
 */
export function attestRow(
  crypto: Pick<RecordCrypto, 'sha256'>,
  table: AttestedTable,
  row: StoredRow,
): Evidence {
  const columns: Record<string, string | number> = {};
  for (const [name, value] of Object.entries(row)) {
    if (value === null || leftOut[table]?.includes(name)) continue;
    columns[name] = value instanceof Uint8Array ? `sha256:${crypto.sha256(value)}` : value;
  }
  const id = row[rowId[table]];
  return { kind: table, id: String(id), hash: domainHash(crypto, 'row', canonical({ columns, table })) };
}

/** What an event says about an object it added; its own hash is all there is to say. */
export const attestSealed = (
  kind: Exclude<Evidence['kind'], AttestedTable>,
  sealed: Pick<Sealed, 'hash'>,
): Evidence => ({ kind, id: sealed.hash, hash: sealed.hash });
