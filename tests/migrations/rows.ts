import type Database from 'better-sqlite3';

type Row = Readonly<Record<string, string | number | null | Uint8Array>>;

const zero = '0'.repeat(64);

/** One row of every table, fitting together: an entry that was signed once. */
export const fittingRows: readonly (readonly [string, Row])[] = [
  [
    'notebook',
    {
      id: 'nb',
      institution: 'I',
      department: 'D',
      department_key: 'k',
      is_demo: 0,
      format: 1,
      created_at: 't',
    },
  ],
  ['person', { id: 'ada', printed_name: 'Ada', initials: 'A', role: 'student', created_at: 't' }],
  [
    'sealed_key',
    { id: 'key', person_id: 'ada', public_key: 'pk', sealed: 's', created_at: 't', retired_at: null },
  ],
  [
    'certificate',
    {
      hash: 'cert',
      serial: 1,
      person_id: 'ada',
      role: 'student',
      public_key: 'pk',
      not_before: 't',
      not_after: 't',
      bytes: 'b',
      signature: 's',
    },
  ],
  [
    'revocation',
    { hash: 'rev', certificate_hash: 'cert', kind: 'retired', since: 't', bytes: 'b', signature: 's' },
  ],
  ['record', { id: 'rec', owner_id: 'ada', title: 'T', course: 'C', created_at: 't' }],
  [
    'entry',
    {
      id: 'e',
      record_id: 'rec',
      number: 1,
      state: 'draft',
      mark: '',
      amendment_reason: null,
      strike_out_reason: null,
      created_at: 't',
    },
  ],
  [
    'draft',
    {
      entry_id: 'e',
      content: '{}',
      revision: 1,
      saved_at: 't',
      saved_by: 'ada',
      base_content: '{}',
      base_revision: 1,
    },
  ],
  ['version', { hash: 'v1', entry_id: 'e', n: 1, author_id: 'ada', bytes: '{}' }],
  [
    'signature',
    {
      hash: 'sig',
      entry_id: 'e',
      n: 1,
      version_hash: 'v1',
      meaning: 'performed',
      person_id: 'ada',
      certificate_hash: 'cert',
      signed_at: 't',
      bytes: '{}',
      signature: 's',
    },
  ],
  [
    'event',
    {
      seq: 1,
      hash: 'e1',
      previous: zero,
      at: 't',
      action: 'a',
      person_id: null,
      record_id: null,
      entry_id: null,
      n: null,
      bytes: '{}',
    },
  ],
  [
    'comment',
    {
      id: 'c',
      entry_id: 'e',
      n: 1,
      section: 'aim',
      anchor: null,
      text: 'x',
      author_id: 'ada',
      at: 't',
      is_settled: 0,
    },
  ],
  ['attachment', { sha256: 'a', media_type: 'image/png', size_bytes: 1, data: new Uint8Array([1]) }],
  ['checkpoint', { hash: 'cp', bytes: '{}', signature: 's' }],
  ['witness', { notebook: 'nb', seq: 1, head: 'e1', source: 's', seen_at: 't' }],
  ['foreign_event', { notebook: 'other', seq: 1, hash: 'f', bytes: '{}' }],
  ['own_compound', { hash: 'oc', compound_id: 'c', n: 1, author_id: 'ada', at: 't', bytes: '{}' }],
  ['seal_key', { id: 'seal', certificate: '30', sealed: 's', created_at: 't', retired_at: null }],
];

export function insertRow(database: Database.Database, table: string, row: Row, verb = 'insert'): void {
  const names = Object.keys(row);
  database
    .prepare(`${verb} into ${table} (${names.join(', ')}) values (${names.map(() => '?').join(', ')})`)
    .run(...Object.values(row));
}

export function insertAll(database: Database.Database): void {
  for (const [table, row] of fittingRows) insertRow(database, table, row);
}

export const rowOf = (table: string): Row => fittingRows.find(([name]) => name === table)?.[1] ?? {};
