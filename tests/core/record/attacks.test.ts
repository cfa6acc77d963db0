import { beforeEach, describe, expect, it } from 'vitest';
import { attestRow, attestSealed, type StoredRow } from '../../../core/record/attest.ts';
import { sealCertificate, sealEvent, sealSignature, sealVersion } from '../../../core/record/build.ts';
import type { Witness } from '../../../core/record/check-input.ts';
import { inputFromTables } from '../../../core/record/check-tables.ts';
import type { CheckReport } from '../../../core/contract/views.ts';
import type { AuditEvent, EntryVersion, SignaturePayload } from '../../../core/record/objects.ts';
import { verifyNotebook } from '../../../core/record/verify.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import { keyFrom, sampleNotebook, type PaperNotebook, type TestPerson } from './paper-notebook.ts';
import { sampleContent } from './sample-content.ts';

let notebook: PaperNotebook;
let ada: TestPerson;
let ben: TestPerson;
let moss: TestPerson;
beforeEach(() => {
  ({ notebook, ada, ben, moss } = sampleNotebook(sampleContent));
});

const check = (
  pinned: string | null = notebook.department.publicKey,
  outside: readonly Witness[] = [],
): CheckReport => verifyNotebook(inputFromTables(notebook.read, pinned, outside), recordCrypto);

const rows = (table: string): StoredRow[] => notebook.tables[table]!;
const change = (table: string, index: number, changes: StoredRow): void => {
  rows(table)[index] = { ...rows(table)[index], ...changes };
};
const textOf = (table: string, index: number, column: string): string => String(rows(table)[index]![column]);
const indexOf = (table: string, column: string, value: unknown): number =>
  rows(table).findIndex((row) => row[column] === value);

/** The report names this code at this place first. */
const expectFirst = (report: CheckReport, code: string, place: RegExp): void => {
  expect(report.isSound).toBe(false);
  expect(report.findings[0]?.code).toBe(code);
  expect(report.findings[0]?.place).toMatch(place);
  expect(report.findings[0]?.sentence).toMatch(/^[A-Z“].*\.$/);
};

/** Writes the trail anew from event `from` on, as someone who knows the program would. */
function rebuildTrail(from: number, edit: (event: AuditEvent) => AuditEvent | null): void {
  const kept = rows('event').slice(0, from - 1);
  let last = kept.at(-1);
  const rest = rows('event').slice(from - 1);
  notebook.tables['event'] = kept;
  for (const row of rest) {
    const event = edit(JSON.parse(String(row['bytes'])) as AuditEvent);
    if (event === null) continue;
    const {
      type: _type,
      format: _format,
      seq: _seq,
      previous: _previous,
      isClockBack: _back,
      ...stated
    } = event;
    const sealed = sealEvent(
      recordCrypto,
      stated,
      last === undefined
        ? null
        : { seq: Number(last['seq']), hash: String(last['hash']), at: String(last['at']) },
    );
    last = {
      ...row,
      seq: sealed.event.seq,
      hash: sealed.hash,
      previous: sealed.event.previous,
      at: sealed.event.at,
      bytes: sealed.bytes,
    };
    kept.push(last);
  }
}

describe('a notebook nobody touched', () => {
  it('is sound, with nothing to remark', () => {
    const report = check();
    expect(report.findings).toEqual([]);
    expect(report.isSound).toBe(true);
    expect(report.headSeq).toBe(rows('event').length);
    expect(report.trustworthy).toContain('Everything in this notebook is as it was written');
  });

  it('says that the department’s key should be compared when none was given', () => {
    const report = check(null);
    expect(report.isSound).toBe(true);
    expect(report.findings.map((finding) => finding.code)).toEqual(['key-not-pinned']);
    expect(report.trustworthy).toContain('Compare its fingerprint');
  });

  it('takes the printed fingerprint of the department in place of its key', () => {
    const { departmentFingerprint } = check();
    expect(check(departmentFingerprint).findings).toEqual([]);
    expect(check('0000 1111 2222 3333 4444').isSound).toBe(false);
  });
});

describe('a changed content', () => {
  it('is found when the text of a version is changed', () => {
    change('version', 0, { bytes: textOf('version', 0, 'bytes').replace('134', '135') });
    const report = check();
    expectFirst(report, 'version-changed', /^entry 1 of “Organic preparations, A\. Fennel”, version 1$/);
    expect(report.findings).toHaveLength(1);
    expect(report.trustworthy).toContain('entry 2 of “Organic preparations, A. Fennel”');
    expect(report.trustworthy).not.toContain('content of entry 1 of “Organic preparations, A');
  });

  it('is found when the hash is changed to fit', () => {
    const version = JSON.parse(textOf('version', 0, 'bytes')) as EntryVersion;
    const { type: _type, format: _format, ...stated } = version;
    const forged = sealVersion(recordCrypto, { ...stated, content: sampleContent({ aim: 'another' }) });
    change('version', 0, { bytes: forged.bytes, hash: forged.hash });
    const report = check();
    expect(report.isSound).toBe(false);
    expect(report.findings.map((finding) => finding.code)).toContain('signature-without-version');
    expect(report.findings.map((finding) => finding.place).join('\n')).toContain('entry 1');
  });

  it('is found when a column is changed and the bytes kept', () => {
    change('signature', 0, { meaning: 'amended' });
    expectFirst(check(), 'column-differs', /^entry 1 of “Organic preparations, A\. Fennel”, version 1: “/);
  });

  it.each([
    ['person', 0, { printed_name: 'Dr H. Mosss' }, /the person Dr H\. Mosss/],
    ['record', 0, { title: 'Another title' }, /the record “Another title”/],
    ['entry', 0, { mark: '10 of 10' }, /entry 1 of “Organic preparations, A\. Fennel”/],
    ['comment', 0, { text: 'Well done.' }, /a comment on entry 1/],
    ['sealed_key', 1, { sealed: '{"other":"key"}' }, /the locked key of a person/],
    ['sealed_key', 0, { sealed: '{"other":"key"}' }, /the department’s locked key/],
    ['notebook', 0, { institution: 'Elsewhere' }, /the page about the department/],
    ['draft', 0, { base_content: '{}' }, /the draft of entry 1/],
  ] as const)('is found in the table %s', (table, index, changes, place) => {
    change(table, index, changes);
    expectFirst(check(), 'row-changed', place);
  });

  it('is found in an attachment', () => {
    change('attachment', 0, { data: new TextEncoder().encode('minute,temperature\n0,21\n5,75\n') });
    const codes = check().findings.map((finding) => finding.code);
    expect(codes).toContain('attachment-changed');
  });

  it('is found when an attachment is missing', () => {
    notebook.tables['attachment'] = [];
    const report = check();
    expectFirst(report, 'attachment-missing', /^entry 1 of/);
    expect(report.findings.map((finding) => finding.code)).toContain('row-missing');
  });

  it('is found when the state of an entry is changed and the trail made to say so', () => {
    const entry = { ...rows('entry')[1], state: 'countersigned' };
    rows('entry')[1] = entry;
    notebook.event(null, 'entry.countersign', { entry: 'e2' }, [attestRow(recordCrypto, 'entry', entry)]);
    expectFirst(check(), 'state-differs', /^entry 2 of/);
  });
});

describe('the audit trail', () => {
  it('shows a deleted event', () => {
    rows('event').splice(9, 1);
    expectFirst(check(), 'events-missing', /^event 11 of the audit trail/);
  });

  it('shows events that changed places', () => {
    const events = rows('event');
    [events[9], events[10]] = [events[10]!, events[9]!];
    expectFirst(check(), 'events-missing', /^event 11 of the audit trail/);
  });

  it('shows a changed event, once, where it is', () => {
    change('event', 7, { bytes: textOf('event', 7, 'bytes').replace('A first try', 'A last try') });
    const report = check();
    expectFirst(report, 'event-changed', /^event 8 of the audit trail, 9 March 2027/);
    expect(report.findings).toHaveLength(1);
    expect(report.trustworthy).toContain('The signed content of');
  });

  it('shows a changed event whose hash was made to fit', () => {
    const event = JSON.parse(textOf('event', 8, 'bytes')) as AuditEvent;
    rebuildTrail(9, (one) => (one.seq === event.seq ? { ...one, reason: 'invented' } : one));
    const report = check();
    expectFirst(report, 'trail-differs', /^entry 1 of .*version 1: “Carried out and recorded by Ada Fennel”/);
  });

  it('shows a back-dated event', () => {
    const event = JSON.parse(textOf('event', 20, 'bytes')) as AuditEvent;
    rebuildTrail(21, (one) => (one.seq === event.seq ? { ...one, at: '2027-01-05T09:00:00.000Z' } : one));
    const report = check();
    expect(report.isSound).toBe(false);
    const clock = report.findings.find((finding) => finding.code === 'clock-back');
    expect(clock?.place).toMatch(/^event 21 /);
    expect(report.findings.map((finding) => finding.code)).toContain('trail-differs');
  });

  it('shows a removed end through the signatures made after it', () => {
    notebook.tables['event'] = rows('event').slice(0, 14);
    const report = check();
    expectFirst(report, 'trail-cut-off', /^entry 1 of .*version 2: “Reviewed and accepted by Dr H\. Moss”/);
    expect(report.findings[0]?.sentence).toContain('now it ends at event 14');
  });

  it('shows a trail written anew from the beginning', () => {
    rebuildTrail(1, (event) => (event.action === 'draft.save' ? null : event));
    const report = check();
    expectFirst(report, 'trail-differs', /^entry 1 of .*, version 1/);
    expect(report.findings.map((finding) => finding.code)).toContain('trail-cut-off');
  });

  it('shows rows whose events were never written', () => {
    const row = { ...rows('comment')[0], id: 'comment-9', text: 'Slipped in.' };
    rows('comment').push(row);
    expectFirst(check(), 'row-unknown', /^a comment on entry 1/);
  });

  it('shows rows that were taken out', () => {
    notebook.tables['comment'] = [];
    expectFirst(check(), 'row-missing', /^a comment, written at event 12 of the audit trail/);
  });

  it('marks a clock that was set back as doubtful, not as broken', () => {
    notebook.event(ada, 'session.open', null, [], { at: '2027-03-08T08:00:00.000Z' });
    const report = check();
    expect(report.isSound).toBe(true);
    expect(report.findings.map((finding) => [finding.severity, finding.code])).toEqual([
      ['doubtful', 'clock-back'],
    ]);
  });
});

describe('an older copy put back', () => {
  it('is in perfect order by itself, and found through what was seen outside', () => {
    const { headSeq: seq, head } = check();
    const seen: Witness = {
      notebook: notebook.id,
      seq,
      head,
      source: 'receipt of the instructor',
      seenAt: '2027-03-10T08:00:00.000Z',
    };
    // Nothing was signed after event 26 of this sample, so the cut end leaves no trace inside.
    notebook.beginEntry(ben, 'rec-b', 'e5', sampleContent());
    expect(check(undefined, [seen]).isSound).toBe(true);
    notebook.tables['entry']!.pop();
    notebook.tables['draft']!.pop();
    notebook.tables['event']!.pop();
    expect(check(undefined, [seen]).isSound).toBe(true);
    notebook.tables['event']!.pop();
    notebook.tables['entry']!.pop();
    notebook.tables['draft']!.pop();
    expect(check().isSound).toBe(true);
    expectFirst(check(undefined, [seen]), 'rolled-back', /^the end of the audit trail, after event 25/);
  });

  it('is found as a fork when it went on in another way', () => {
    const { headSeq: seq, head } = check();
    const seen: Witness = {
      notebook: notebook.id,
      seq,
      head,
      source: 'bound PDF',
      seenAt: '2027-03-10T08:00:00.000Z',
    };
    rebuildTrail(seq, (event) => ({ ...event, reason: 'another history' }));
    expectFirst(check(undefined, [seen]), 'trail-replaced', new RegExp(`^event ${seq} `));
  });
});

describe('a signature', () => {
  const payloadAt = (index: number): SignaturePayload =>
    JSON.parse(textOf('signature', index, 'bytes')) as SignaturePayload;

  /** Puts a signature row in, with the event that a careful forger would add. */
  function slipIn(payload: Partial<SignaturePayload>, signer: TestPerson, key = signer.key): void {
    const base = payloadAt(0);
    const { type: _type, format: _format, ...stated } = { ...base, ...payload };
    const sealed = sealSignature(recordCrypto, stated, key.sign);
    rows('signature').push({
      ...sealed,
      entry_id: stated.entry,
      n: stated.n,
      version_hash: stated.versionHash,
      meaning: stated.meaning,
      person_id: stated.signer.person,
      certificate_hash: stated.certificateHash,
      signed_at: stated.signedAt,
    });
    notebook.event(signer, 'entry.countersign', { entry: stated.entry, n: stated.n }, [
      attestSealed('signature', sealed),
    ]);
  }
  const signerOf = (person: TestPerson): SignaturePayload['signer'] => ({
    person: person.id,
    printedName: person.printedName,
    role: person.role,
  });
  const codes = (report: CheckReport): readonly string[] => report.findings.map((finding) => finding.code);

  it('does not survive a changed bit', () => {
    const signature = textOf('signature', 2, 'signature');
    const other = signature.startsWith('0') ? '1' : '0';
    change('signature', 2, { signature: other + signature.slice(1) });
    const report = check();
    expectFirst(
      report,
      'signature-invalid',
      /^entry 1 of .*, version 2: “Carried out and recorded by Ada Fennel”$/,
    );
    expect(report.findings).toHaveLength(1);
  });

  it('cannot be moved to another entry', () => {
    const e2 = String(rows('version')[indexOf('version', 'entry_id', 'e2')]!['hash']);
    const bytes = textOf('signature', 0, 'bytes').replace(payloadAt(0).versionHash, e2);
    change('signature', 0, { bytes });
    const report = check();
    expectFirst(report, 'signature-changed', /^entry 1 of/);
  });

  it('cannot be moved by rewriting all that names its place, without the key', () => {
    const e2 = rows('version')[indexOf('version', 'entry_id', 'e2')]!;
    const version = JSON.parse(String(e2['bytes'])) as EntryVersion;
    slipIn(
      {
        entry: 'e2',
        n: version.n,
        versionHash: String(e2['hash']),
        meaning: 'countersigned',
        signer: signerOf(moss),
        certificateHash: moss.certificateHash,
      },
      moss,
      ben.key,
    );
    expectFirst(check(), 'signature-invalid', /^entry 2 of .*“Reviewed and accepted by Dr H\. Moss”$/);
  });

  it('names one entry and hash that belong together', () => {
    slipIn({ entry: 'e2', signer: signerOf(ada) }, ada);
    expect(codes(check())).toContain('signature-moved');
  });

  it('cannot be replayed on the same version', () => {
    slipIn({}, ada);
    expect(codes(check())).toContain('signed-twice');
  });

  it('by a student does not countersign', () => {
    slipIn({ meaning: 'countersigned', signer: signerOf(ben), certificateHash: ben.certificateHash }, ben);
    expectFirst(check(), 'meaning-not-allowed', /“Reviewed and accepted by Ben Sorrel”$/);
  });

  it('claiming another role than the certificate is found', () => {
    slipIn(
      {
        meaning: 'countersigned',
        signer: { ...signerOf(ben), role: 'instructor' },
        certificateHash: ben.certificateHash,
      },
      ben,
    );
    expectFirst(check(), 'signer-differs', /Ben Sorrel/);
  });

  it('under another name than the certificate is found', () => {
    slipIn(
      {
        meaning: 'countersigned',
        signer: { ...signerOf(moss), printedName: 'Dr H. Marsh' },
        certificateHash: moss.certificateHash,
      },
      moss,
    );
    expectFirst(check(), 'signer-differs', /Dr H\. Marsh/);
  });

  it('on one’s own work is no review', () => {
    const row = notebook.addPerson('reed', 'Dr J. Reed', 'instructor');
    notebook.beginRecord(row, 'rec-r', 'Trial runs');
    notebook.beginEntry(row, 'rec-r', 'r1', sampleContent());
    notebook.sign(row, 'r1');
    expect(check().isSound).toBe(true);
    notebook.review(row, 'r1', 'countersigned', '10 of 10');
    expectFirst(check(), 'own-work-reviewed', /^entry 1 of “Trial runs”, version 1/);
  });

  it('by somebody else on a student’s version is not the author’s', () => {
    const stranger = slipInVersion();
    expect(codes(check())).toContain('signed-by-another');
    expect(stranger).toBe('ben');
  });
  function slipInVersion(): string {
    const base = JSON.parse(textOf('version', indexOf('version', 'entry_id', 'e2'), 'bytes')) as EntryVersion;
    const { type: _type, format: _format, ...stated } = base;
    const sealed = sealVersion(recordCrypto, {
      ...stated,
      n: 2,
      previousVersion: String(rows('version')[indexOf('version', 'entry_id', 'e2')]!['hash']),
    });
    rows('version').push({ hash: sealed.hash, entry_id: 'e2', n: 2, author_id: 'ada', bytes: sealed.bytes });
    slipIn(
      {
        entry: 'e2',
        n: 2,
        versionHash: sealed.hash,
        signer: signerOf(ben),
        certificateHash: ben.certificateHash,
      },
      ben,
    );
    return 'ben';
  }

  it('of a person whose certificate is forged does not count', () => {
    const mallory = keyFrom('mallory');
    const forged = sealCertificate(
      recordCrypto,
      {
        serial: 99,
        person: 'moss',
        printedName: 'Dr H. Moss',
        role: 'instructor',
        publicKey: mallory.publicKey,
        notBefore: '2027-01-01T00:00:00.000Z',
        notAfter: '2027-12-31T23:59:59.000Z',
        issuer: notebook.department.publicKey,
      },
      mallory.sign,
    );
    rows('certificate').push({
      ...forged,
      serial: 99,
      person_id: 'moss',
      role: 'instructor',
      public_key: mallory.publicKey,
    });
    slipIn({ meaning: 'countersigned', signer: signerOf(moss), certificateHash: forged.hash }, moss, mallory);
    const report = check();
    expectFirst(report, 'certificate-forged', /^certificate 99, of Dr H\. Moss$/);
    expect(codes(report)).toContain('signature-by-uncertified-key');
  });

  it('does not fit when the key file behind it was replaced', () => {
    const mallory = keyFrom('mallory');
    const index = indexOf('certificate', 'person_id', 'moss');
    change('certificate', index, {
      bytes: textOf('certificate', index, 'bytes').replace(moss.key.publicKey, mallory.publicKey),
    });
    expectFirst(check(), 'certificate-changed', /^certificate number 2 in the file$/);
  });

  it('outside the time its key was certified for is doubtful', () => {
    slipIn(
      {
        meaning: 'countersigned',
        signer: signerOf(moss),
        certificateHash: moss.certificateHash,
        signedAt: '2031-01-01T10:00:00.000Z',
        previousSignatures: [textOf('signature', 0, 'hash')],
      },
      moss,
    );
    expect(check().findings.map((finding) => [finding.severity, finding.code])).toContainEqual([
      'doubtful',
      'signed-outside-validity',
    ]);
  });

  it('cannot lose the one it rests on', () => {
    const index = rows('signature').findIndex(
      (row) => row['meaning'] === 'performed' && row['entry_id'] === 'e3',
    );
    rows('signature').splice(index, 1);
    const report = check();
    expectFirst(
      report,
      'earlier-signature-missing',
      /^entry 1 of “Organic preparations, B\. Sorrel”, version 1/,
    );
    expect(codes(report)).toContain('version-unsigned');
  });
});

describe('the department’s key', () => {
  it('is noticed when everything was made anew under another one', () => {
    const real = notebook.department.publicKey;
    const forger = sampleNotebook(sampleContent);
    // A forger can only use a key of their own.
    const other = new (forger.notebook.constructor as typeof PaperNotebook)('nb-1', 'forger');
    const report = verifyNotebook(inputFromTables(other.read, real), recordCrypto);
    expectFirst(report, 'department-key-differs', /^the department’s key$/);
    expect(report.trustworthy).toContain('Nothing here is vouched for by the department');
  });

  it('passes its trust to a successor it signed', () => {
    const next = keyFrom('next department');
    const certificate = notebook.certify(
      { person: 'department', printedName: 'Department of Chemistry', role: 'department' },
      next,
    );
    notebook.event(null, 'key.certify', null, [attestSealed('certificate', certificate)]);
    const late = keyFrom('late');
    const lateCertificate = notebook.certify(
      { person: 'late', printedName: 'Lee Yarrow', role: 'student' },
      late,
      next,
    );
    notebook.event(null, 'key.certify', null, [attestSealed('certificate', lateCertificate)]);
    expect(check().findings).toEqual([]);
  });

  it('does not let a person of the department certify', () => {
    const clerk = notebook.addPerson('clerk', 'P. Clerk', 'department');
    const friend = keyFrom('friend');
    const certificate = notebook.certify(
      { person: 'friend', printedName: 'A. Friend', role: 'instructor' },
      friend,
      clerk.key,
    );
    notebook.event(null, 'key.certify', null, [attestSealed('certificate', certificate)]);
    expectFirst(check(), 'certificate-forged', /of A\. Friend$/);
  });

  it('does not certify one key for two persons', () => {
    const certificate = notebook.certify(
      { person: 'twin', printedName: 'Ada Twin', role: 'instructor' },
      ada.key,
    );
    notebook.event(null, 'key.certify', null, [attestSealed('certificate', certificate)]);
    expectFirst(check(), 'key-of-two-persons', /of Ada Twin$/);
  });
});
