import { attestRow, rowId, type StoredRow } from '../attest.ts';
import type { AttestedTable, EntryState, Evidence } from '../objects.ts';
import type { KnownSignature, Surroundings } from './signatures.ts';
import { checkSealKey } from './seal-key.ts';
import { isAuthors } from './signatures.ts';
import { evidenceKey } from './trail.ts';

const tableWords: Readonly<Record<Evidence['kind'], string>> = {
  notebook: 'the page about the department',
  person: 'a person',
  sealed_key: 'the locked key',
  seal_key: 'the department’s seal',
  record: 'a record',
  entry: 'an entry',
  draft: 'the draft',
  comment: 'a comment',
  attachment: 'an attachment',
  version: 'a version',
  signature: 'a signature',
  certificate: 'a certificate',
  revocation: 'a withdrawn key',
  checkpoint: 'a checkpoint',
  receipt: 'a receipt',
  own_compound: 'a compound of the department’s own',
};

const textOf = (row: StoredRow, column: string): string | null => {
  const value = row[column];
  return typeof value === 'string' ? value : null;
};

function rowPlace(table: AttestedTable, row: StoredRow, around: Surroundings): string {
  const { entries } = around;
  switch (table) {
    case 'person':
      return `the person ${textOf(row, 'printed_name') ?? ''}`.trim();
    case 'record':
      return `the record “${textOf(row, 'title') ?? ''}”`;
    case 'entry': {
      const id = textOf(row, 'id') ?? '';
      return entries.byEntry.has(id) ? entries.placeOf(id) : `entry ${String(row['number'] ?? '')}`.trim();
    }
    case 'draft':
      return `the draft of ${entries.placeOf(textOf(row, 'entry_id') ?? '')}`;
    case 'comment':
      return `a comment on ${entries.placeOf(textOf(row, 'entry_id') ?? '')}`;
    case 'sealed_key':
      return row['person_id'] === null || row['person_id'] === 'department'
        ? 'the department’s locked key'
        : 'the locked key of a person';
    case 'attachment':
      return `the attachment ${(textOf(row, 'sha256') ?? '').slice(0, 12)}`;
    case 'notebook':
    case 'seal_key':
      return tableWords[table];
  }
}

/** Every row the trail vouches for, column by column; and none that it never heard of. */
export function* checkRows(
  around: Surroundings,
  signatures: readonly KnownSignature[],
): Generator<number, { count: number; seen: Set<string> }> {
  const { input, crypto, findings, trail } = around;
  const seen = new Set<string>();
  const byVersion = Map.groupBy(signatures, (signature) => signature.payload.versionHash);
  let count = 0;
  for (const { table, row } of input.rows) {
    count += 1;
    const evidence = attestRow(crypto, table, row);
    const key = evidenceKey(table, evidence.id);
    const attested = trail.evidence.get(key);
    if (seen.has(key)) findings.broken('row-twice', rowPlace(table, row, around));
    seen.add(key);
    if (attested === undefined) {
      // Part of a notebook carries part of its trail, so silence proves nothing there.
      if (input.scope === 'notebook') findings.broken('row-unknown', rowPlace(table, row, around));
    } else if (attested.hash !== evidence.hash) {
      findings.broken('row-changed', rowPlace(table, row, around), { seq: attested.seq });
    }
    if (table === 'draft') checkDraft(row, around);
    if (table === 'seal_key') checkSealKey(around, row);
    if (table === 'entry' && input.scope === 'notebook') checkState(around, row, byVersion);
    if (count % 200 === 0) yield count;
  }
  return { count, seen };
}

/** Between two audits the working copy runs ahead of what the trail describes; never otherwise. */
function checkDraft(row: StoredRow, around: Surroundings): void {
  const place = rowPlace('draft', row, around);
  const revision = row['revision'];
  const base = row['base_revision'];
  if (typeof revision !== 'number' || typeof base !== 'number') {
    around.findings.broken('draft-changed', place);
  } else if (revision > base) around.findings.note('draft-pending', place);
  else if (revision < base || row['content'] !== row['base_content']) {
    around.findings.broken('draft-changed', place);
  }
}

/** What the trail says was written and is not in the file any more. */
export function checkMissing(around: Surroundings, seen: ReadonlySet<string>): void {
  const { findings, trail } = around;
  for (const [key, { seq }] of trail.evidence) {
    const kind = key.slice(0, key.indexOf('/')) as Evidence['kind'];
    const word: string = Object.hasOwn(tableWords, kind) ? tableWords[kind] : 'something';
    // Receipts go to other people; that they are not here is as it should be.
    const id = key.slice(kind.length + 1);
    if (kind === 'receipt' || seen.has(key) || around.damaged.has(id)) continue;
    findings.broken('row-missing', `${word}, written at event ${seq} of the audit trail`, {
      seq,
      what: word,
    });
  }
}

/** Does the state an entry claims follow from the signatures on its last version? */
function checkState(
  around: Surroundings,
  row: StoredRow,
  byVersion: ReadonlyMap<string, readonly KnownSignature[]>,
): void {
  const { entries, findings } = around;
  const state = textOf(row, 'state') as EntryState | null;
  const versions = entries.byEntry.get(textOf(row, rowId.entry) ?? '') ?? [];
  const last = versions.at(-1);
  const own = last === undefined ? [] : (byVersion.get(last.hash) ?? []);
  const has = (meaning: string): boolean => own.some((one) => one.payload.meaning === meaning);
  const isSigned = own.some((one) => isAuthors(one.payload));
  const wasAccepted = versions.some((version) =>
    byVersion.get(version.hash)?.some((one) => one.payload.meaning === 'countersigned'),
  );
  const isReviewed = has('countersigned') || has('returned');
  const fits: Readonly<Record<EntryState, boolean>> = {
    draft: last === undefined,
    signed: isSigned && !isReviewed,
    returned: isSigned && has('returned') && !has('countersigned'),
    countersigned: has('countersigned'),
    amending: has('countersigned'),
    'struck-out': !wasAccepted && (last === undefined || has('returned')),
  };
  if (state === null || !Object.hasOwn(fits, state) || !fits[state]) {
    findings.broken('state-differs', rowPlace('entry', row, around), { state: state ?? '' });
  }
}
