import { createPrivateKey, createPublicKey, sign as nodeSign, createHash } from 'node:crypto';
import { attestRow, attestSealed, type StoredRow } from '../../../core/record/attest.ts';
import {
  departmentPerson,
  sealCertificate,
  sealEvent,
  sealSignature,
  sealVersion,
  type Sign,
} from '../../../core/record/build.ts';
import { canonical } from '../../../core/record/canonical.ts';
import type { ReadTable } from '../../../core/record/check-tables.ts';
import { zeroHash } from '../../../core/record/domain.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { changesForTrail, differencesBetween } from '../../../core/record/differences.ts';
import type { AttestedTable, Evidence, Meaning, Role, Sealed } from '../../../core/record/objects.ts';
import { publicKeyToHex, recordCrypto } from '../../../electron/keys/crypto.ts';

export interface TestKey {
  readonly publicKey: string;
  readonly sign: Sign;
}

/** A real Ed25519 key from a seed, so that a failing test fails the same way again. */
export function keyFrom(seed: string): TestKey {
  const secret = createHash('sha256').update(`fairleaf test key ${seed}`).digest();
  const pkcs8 = Buffer.concat([Buffer.from('302e020100300506032b657004220420', 'hex'), secret]);
  const key = createPrivateKey({ key: pkcs8, format: 'der', type: 'pkcs8' });
  return {
    publicKey: publicKeyToHex(createPublicKey(key)),
    sign: (bytes) => nodeSign(null, bytes, key).toString('hex'),
  };
}

export interface TestPerson {
  readonly id: string;
  readonly printedName: string;
  readonly role: Role;
  readonly key: TestKey;
  readonly certificateHash: string;
}

export type Tables = Record<string, StoredRow[]>;
const emptyTables = (): Tables => ({
  notebook: [],
  person: [],
  sealed_key: [],
  certificate: [],
  revocation: [],
  checkpoint: [],
  record: [],
  entry: [],
  draft: [],
  version: [],
  signature: [],
  event: [],
  comment: [],
  attachment: [],
  foreign_event: [],
});

/**
 * A notebook on paper: the tables of a real one, kept in memory, written with the builders and keys
 * the program uses. Tests tamper with its rows.
 */
export class PaperNotebook {
  readonly tables: Tables = emptyTables();
  readonly department: TestKey;
  readonly id: string;
  private minutes = 0;
  private serial = 0;
  private last: { seq: number; hash: string; at: string } | null = null;
  private readonly people = new Map<string, TestPerson>();

  constructor(id = 'nb-1', departmentSeed = 'department') {
    this.id = id;
    this.department = keyFrom(departmentSeed);
    const notebook = {
      id,
      institution: 'Larkhill College',
      department: 'Department of Chemistry',
      department_key: this.department.publicKey,
      is_demo: 0,
      format: 1,
      created_at: this.now(),
    };
    this.insert('notebook', notebook);
    const certificate = this.certify(
      { person: departmentPerson, printedName: 'Department of Chemistry', role: 'department' },
      this.department,
    );
    const key = {
      id: 'key-department',
      person_id: null,
      public_key: this.department.publicKey,
      sealed: '{}',
      created_at: this.now(),
    };
    this.insert('sealed_key', key);
    this.event(null, 'notebook.begin', null, [
      this.attest('notebook', notebook),
      this.attest('sealed_key', key),
      attestSealed('certificate', certificate),
    ]);
  }

  /** Every call is a minute later than the one before. */
  now(): string {
    return new Date(Date.UTC(2027, 2, 9, 8, this.minutes)).toISOString();
  }

  get head(): { readonly seq: number; readonly hash: string } {
    return this.last ?? { seq: 0, hash: zeroHash };
  }

  read: ReadTable = (table) => this.tables[table] ?? [];

  private insert(table: string, row: StoredRow): void {
    (this.tables[table] ??= []).push(row);
  }

  private update(table: string, column: string, id: string, changes: StoredRow): StoredRow {
    const rows = this.tables[table] ?? [];
    const index = rows.findIndex((row) => row[column] === id);
    const row = { ...rows[index], ...changes };
    rows[index] = row;
    return row;
  }

  row(table: string, column: string, id: string): StoredRow {
    const row = this.tables[table]?.find((one) => one[column] === id);
    if (row === undefined) throw new Error(`no ${table} ${id}`);
    return row;
  }

  private attest(table: AttestedTable, row: StoredRow): Evidence {
    return attestRow(recordCrypto, table, row);
  }

  certify(
    who: { person: string; printedName: string; role: Role },
    key: TestKey,
    issuer: TestKey = this.department,
  ): Sealed {
    this.serial += 1;
    const sealed = sealCertificate(
      recordCrypto,
      {
        serial: this.serial,
        ...who,
        publicKey: key.publicKey,
        notBefore: '2027-01-01T00:00:00.000Z',
        notAfter: '2027-12-31T23:59:59.000Z',
        issuer: issuer.publicKey,
      },
      issuer.sign,
    );
    this.insert('certificate', {
      ...sealed,
      serial: this.serial,
      person_id: who.person,
      role: who.role,
      public_key: key.publicKey,
      not_before: '2027-01-01T00:00:00.000Z',
      not_after: '2027-12-31T23:59:59.000Z',
    });
    return sealed;
  }

  event(
    actor: TestPerson | null,
    action: string,
    object: { record?: string; entry?: string; n?: number } | null,
    evidence: readonly Evidence[],
    more: {
      changes?: readonly { path: string; old: string; new: string }[];
      reason?: string;
      at?: string;
    } = {},
  ): void {
    this.minutes += 1;
    const { event, ...sealed } = sealEvent(
      recordCrypto,
      {
        notebook: this.id,
        at: more.at ?? this.now(),
        offsetMinutes: 60,
        monotonicMs: this.minutes * 60_000,
        device: 'bench computer 4',
        actor: actor && { person: actor.id, printedName: actor.printedName, role: actor.role },
        action,
        object: { record: object?.record ?? null, entry: object?.entry ?? null, n: object?.n ?? null },
        changes: more.changes ?? [],
        evidence,
        reason: more.reason ?? '',
      },
      this.last,
    );
    this.last = { seq: event.seq, hash: sealed.hash, at: event.at };
    this.insert('event', {
      seq: event.seq,
      hash: sealed.hash,
      previous: event.previous,
      at: event.at,
      action,
      person_id: actor?.id ?? null,
      record_id: event.object.record,
      entry_id: event.object.entry,
      n: event.object.n,
      bytes: sealed.bytes,
    });
  }

  addPerson(id: string, printedName: string, role: Role, key = keyFrom(id)): TestPerson {
    const row = { id, printed_name: printedName, initials: id.toUpperCase(), role, created_at: this.now() };
    this.insert('person', row);
    const sealedKey = {
      id: `key-${id}`,
      person_id: id,
      public_key: key.publicKey,
      sealed: '{}',
      created_at: this.now(),
    };
    this.insert('sealed_key', sealedKey);
    const certificate = this.certify({ person: id, printedName, role }, key);
    this.event(null, 'person.add', null, [
      this.attest('person', row),
      this.attest('sealed_key', sealedKey),
      attestSealed('certificate', certificate),
    ]);
    const person = { id, printedName, role, key, certificateHash: certificate.hash };
    this.people.set(id, person);
    return person;
  }

  beginRecord(owner: TestPerson, id: string, title: string): void {
    const row = {
      id,
      owner_id: owner.id,
      title,
      course: 'Preparative chemistry, year 2',
      created_at: this.now(),
    };
    this.insert('record', row);
    this.event(owner, 'record.begin', { record: id }, [this.attest('record', row)]);
  }

  beginEntry(owner: TestPerson, record: string, id: string, content: EntryContent): void {
    const number = this.tables['entry']!.filter((row) => row['record_id'] === record).length + 1;
    const entry = {
      id,
      record_id: record,
      number,
      state: 'draft',
      mark: '',
      amendment_reason: null,
      strike_out_reason: null,
      created_at: this.now(),
    };
    const text = canonical(content);
    const draft = {
      entry_id: id,
      content: text,
      revision: 1,
      saved_at: this.now(),
      saved_by: owner.id,
      base_content: text,
      base_revision: 1,
    };
    this.insert('entry', entry);
    this.insert('draft', draft);
    this.event(owner, 'entry.begin', { record, entry: id }, [
      this.attest('entry', entry),
      this.attest('draft', draft),
    ]);
  }

  contentOf(entry: string): EntryContent {
    return JSON.parse(String(this.row('draft', 'entry_id', entry)['content'])) as EntryContent;
  }

  /** Saves and audits a draft in one go. */
  save(owner: TestPerson, entry: string, content: EntryContent): void {
    const before = this.contentOf(entry);
    const revision = Number(this.row('draft', 'entry_id', entry)['revision']) + 1;
    const text = canonical(content);
    const draft = this.update('draft', 'entry_id', entry, {
      content: text,
      revision,
      saved_at: this.now(),
      base_content: text,
      base_revision: revision,
    });
    this.event(owner, 'draft.save', { record: this.recordOf(entry), entry }, [this.attest('draft', draft)], {
      changes: changesForTrail(differencesBetween(before, content)),
    });
  }

  recordOf = (entry: string): string => String(this.row('entry', 'id', entry)['record_id']);
  versionsOf = (entry: string): readonly StoredRow[] =>
    (this.tables['version'] ?? []).filter((row) => row['entry_id'] === entry);

  private signatureFor(
    signer: TestPerson,
    meaning: Meaning,
    entry: string,
    n: number,
    versionHash: string,
    remark: string,
  ): Sealed {
    const earlier = (this.tables['signature'] ?? []).filter((row) => row['version_hash'] === versionHash);
    const sealed = sealSignature(
      recordCrypto,
      {
        notebook: this.id,
        record: this.recordOf(entry),
        entry,
        n,
        versionHash,
        eventHead: this.head.hash,
        eventSeq: this.head.seq,
        meaning,
        signer: { person: signer.id, printedName: signer.printedName, role: signer.role },
        certificateHash: signer.certificateHash,
        signedAt: this.now(),
        offsetMinutes: 60,
        previousSignatures: earlier.map((row) => String(row['hash'])),
        remark,
      },
      signer.key.sign,
    );
    this.insert('signature', {
      ...sealed,
      entry_id: entry,
      n,
      version_hash: versionHash,
      meaning,
      person_id: signer.id,
      certificate_hash: signer.certificateHash,
      signed_at: this.now(),
    });
    return sealed;
  }

  sign(signer: TestPerson, entry: string, meaning: 'performed' | 'amended' = 'performed', reason = ''): void {
    const earlier = this.versionsOf(entry);
    const n = earlier.length + 1;
    const record = this.recordOf(entry);
    const version = sealVersion(recordCrypto, {
      record,
      entry,
      n,
      previousVersion: earlier.length === 0 ? null : String(earlier.at(-1)!['hash']),
      content: this.contentOf(entry),
      computed: { engine: 'test', lines: [] },
      author: { person: signer.id, printedName: signer.printedName },
      heading: {
        recordTitle: String(this.row('record', 'id', record)['title']),
        course: String(this.row('record', 'id', record)['course']),
        number: Number(this.row('entry', 'id', entry)['number']),
      },
      reason,
      program: 'test',
    });
    this.insert('version', {
      hash: version.hash,
      entry_id: entry,
      n,
      author_id: signer.id,
      bytes: version.bytes,
    });
    const signature = this.signatureFor(signer, meaning, entry, n, version.hash, '');
    const row = this.update('entry', 'id', entry, { state: 'signed' });
    this.event(signer, 'entry.sign', { record, entry, n }, [
      attestSealed('version', version),
      attestSealed('signature', signature),
      this.attest('entry', row),
    ]);
  }

  review(signer: TestPerson, entry: string, meaning: 'returned' | 'countersigned', remark: string): void {
    const version = this.versionsOf(entry).at(-1)!;
    const n = Number(version['n']);
    const signature = this.signatureFor(signer, meaning, entry, n, String(version['hash']), remark);
    const row = this.update('entry', 'id', entry, {
      state: meaning,
      ...(meaning === 'countersigned' ? { mark: remark } : {}),
    });
    const action = meaning === 'returned' ? 'entry.return' : 'entry.countersign';
    this.event(signer, action, { record: this.recordOf(entry), entry, n }, [
      attestSealed('signature', signature),
      this.attest('entry', row),
    ]);
  }

  amend(owner: TestPerson, entry: string, reason: string): void {
    const row = this.update('entry', 'id', entry, { state: 'amending', amendment_reason: reason });
    this.event(owner, 'entry.amend', { record: this.recordOf(entry), entry }, [this.attest('entry', row)], {
      reason,
    });
  }

  comment(author: TestPerson, entry: string, text: string): void {
    const id = `comment-${(this.tables['comment'] ?? []).length + 1}`;
    const n = this.versionsOf(entry).length;
    const row = {
      id,
      entry_id: entry,
      n: n === 0 ? null : n,
      section: 'result',
      anchor: null,
      text,
      author_id: author.id,
      at: this.now(),
      is_settled: 0,
    };
    this.insert('comment', row);
    this.event(author, 'comment.add', { record: this.recordOf(entry), entry }, [this.attest('comment', row)]);
  }

  attach(author: TestPerson, entry: string, data: Uint8Array): string {
    const sha256 = recordCrypto.sha256(data);
    const row = { sha256, media_type: 'text/csv', size_bytes: data.length, data };
    this.insert('attachment', row);
    this.event(author, 'attachment.add', { record: this.recordOf(entry), entry }, [
      this.attest('attachment', row),
    ]);
    return sha256;
  }
}

/** A class of two students and an instructor; every state of an entry, an amendment, a comment, a file. */
export function sampleNotebook(content: (changes?: Partial<EntryContent>) => EntryContent): {
  readonly notebook: PaperNotebook;
  readonly ada: TestPerson;
  readonly ben: TestPerson;
  readonly moss: TestPerson;
} {
  const notebook = new PaperNotebook();
  const moss = notebook.addPerson('moss', 'Dr H. Moss', 'instructor');
  const ada = notebook.addPerson('ada', 'Ada Fennel', 'student');
  const ben = notebook.addPerson('ben', 'Ben Sorrel', 'student');
  notebook.beginRecord(ada, 'rec-a', 'Organic preparations, A. Fennel');
  notebook.beginRecord(ben, 'rec-b', 'Organic preparations, B. Sorrel');
  notebook.beginEntry(ada, 'rec-a', 'e1', content());
  notebook.save(ada, 'e1', content({ discussion: 'A first try.' }));
  const sha256 = notebook.attach(ada, 'e1', new TextEncoder().encode('minute,temperature\n0,21\n5,57\n'));
  notebook.save(
    ada,
    'e1',
    content({
      attachments: [
        {
          sha256,
          name: 'bath.csv',
          mediaType: 'text/csv',
          sizeBytes: 29,
          section: 'observations',
          caption: '',
        },
      ],
    }),
  );
  notebook.sign(ada, 'e1');
  notebook.comment(moss, 'e1', 'Which thermometer was used?');
  notebook.review(moss, 'e1', 'returned', 'Please answer the comment.');
  notebook.save(ada, 'e1', { ...notebook.contentOf('e1'), discussion: 'Read with the long thermometer.' });
  notebook.sign(ada, 'e1', 'performed', 'comment answered');
  notebook.review(moss, 'e1', 'countersigned', '8 of 10');
  notebook.beginEntry(ada, 'rec-a', 'e2', content({ title: 'Benzocaine' }));
  notebook.sign(ada, 'e2');
  notebook.beginEntry(ben, 'rec-b', 'e3', content({ title: 'Adipic acid' }));
  notebook.sign(ben, 'e3');
  notebook.review(moss, 'e3', 'countersigned', '7 of 10');
  notebook.amend(ben, 'e3', 'the second weighing was left out');
  notebook.save(ben, 'e3', { ...notebook.contentOf('e3'), discussion: 'Both weighings are given now.' });
  notebook.sign(ben, 'e3', 'amended', 'the second weighing was left out');
  notebook.review(moss, 'e3', 'countersigned', '7 of 10');
  notebook.beginEntry(ben, 'rec-b', 'e4', content({ title: 'Methyl 3-nitrobenzoate' }));
  return { notebook, ada, ben, moss };
}
