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
};
/** Columns that are checked as bytes, hash and signature. */
const sealedColumns = new Set(['bytes', 'hash', 'signature']);

function valueAt(object: unknown, path: string): unknown {
  let value = object;
  for (const key of path.split('.')) {
    if (typeof value !== 'object' || value === null) return null;
    value = (value as Record<string, unknown>)[key];
  }
  return value ?? null;
}

/**
 * Columns beside canonical bytes are a convenience; they must say what the bytes say.
 *
 * @param object the bytes, read
 */
export function checkColumns(
  table: SealedTable,
  sealed: StoredSealed,
  object: object,
  place: string,
  findings: Findings,
): void {
  if (sealed.columns === undefined) return;
  const paths = columnOf[table];
  for (const [column, value] of Object.entries(sealed.columns)) {
    if (sealedColumns.has(column)) continue;
    const path = paths[column];
    if (path === undefined) findings.broken('column-unknown', place, { column });
    else if (valueAt(object, path) !== value) findings.broken('column-differs', place, { column });
  }
}
