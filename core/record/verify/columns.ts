import type { SealedTable, StoredSealed } from '../check-input.ts';
import type { Findings } from './findings.ts';

/** Where each column of a sealed table stands in the object it repeats. */
const columnOf: Readonly<Record<SealedTable, Readonly<Record<string, string>>>> = {
  certificate: {
    serial: 'serial',
    person_id: 'person',
    printed_name: 'printedName',
    role: 'role',
    public_key: 'publicKey',
    not_before: 'notBefore',
    not_after: 'notAfter',
    issuer: 'issuer',
  },
  revocation: {
    certificate_hash: 'certificateHash',
    person_id: 'person',
    kind: 'kind',
    since: 'since',
    at: 'at',
    reason: 'reason',
  },
  version: {
    record_id: 'record',
    entry_id: 'entry',
    n: 'n',
    previous_version: 'previousVersion',
    author_id: 'author.person',
    reason: 'reason',
  },
  signature: {
    record_id: 'record',
    entry_id: 'entry',
    n: 'n',
    version_hash: 'versionHash',
    meaning: 'meaning',
    person_id: 'signer.person',
    certificate_hash: 'certificateHash',
    signed_at: 'signedAt',
  },
  event: {
    seq: 'seq',
    previous: 'previous',
    at: 'at',
    action: 'action',
    person_id: 'actor.person',
    actor_id: 'actor.person',
    record_id: 'object.record',
    entry_id: 'object.entry',
    n: 'object.n',
  },
  own_compound: {
    compound_id: 'compound',
    n: 'n',
    author_id: 'author.person',
    at: 'at',
  },
};
/** Columns that are checked as bytes, hash and signature. */
const sealedColumns = new Set(['bytes', 'hash', 'signature']);

/** The way to each column's value, taken apart once. */
const wayTo = Object.fromEntries(
  Object.entries(columnOf).map(([table, columns]) => [
    table,
    new Map(Object.entries(columns).map(([column, path]) => [column, path.split('.')])),
  ]),
) as unknown as Readonly<Record<SealedTable, ReadonlyMap<string, readonly string[]>>>;

function valueAt(object: unknown, way: readonly string[]): unknown {
  let value = object;
  for (const key of way) {
    if (typeof value !== 'object' || value === null) return null;
    value = (value as Record<string, unknown>)[key];
  }
  return value ?? null;
}

/**
 * Columns beside canonical bytes are a convenience; they must say what the bytes say.
 *
 * @param object the bytes, read
 * @param place where it stands, in words; asked for only when something differs
 */
export function checkColumns(
  table: SealedTable,
  sealed: StoredSealed,
  object: object,
  place: () => string,
  findings: Findings,
): void {
  const { columns } = sealed;
  if (columns === undefined) return;
  const ways = wayTo[table];
  for (const column in columns) {
    if (sealedColumns.has(column)) continue;
    const way = ways.get(column);
    if (way === undefined) findings.broken('column-unknown', place(), { column });
    else if (valueAt(object, way) !== columns[column]) findings.broken('column-differs', place(), { column });
  }
}
