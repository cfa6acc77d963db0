import { beforeEach, describe, expect, it } from 'vitest';
import { attestRow, attestSealed } from '../../../core/record/attest.ts';
import { sealRevocation, sealSignature } from '../../../core/record/build.ts';
import type { Witness } from '../../../core/record/check-input.ts';
import { inputFromTables } from '../../../core/record/check-tables.ts';
import type { CheckReport } from '../../../core/contract/views.ts';
import type { Revocation } from '../../../core/record/objects.ts';
import { verifyNotebook } from '../../../core/record/verify.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import { keyFrom, sampleNotebook, type PaperNotebook, type TestPerson } from './paper-notebook.ts';
import { sampleContent } from './sample-content.ts';

let notebook: PaperNotebook;
let moss: TestPerson;
beforeEach(() => {
  ({ notebook, moss } = sampleNotebook(sampleContent));
});

function withdraw(changes: Partial<Revocation>, sign = notebook.department.sign): void {
  const sealed = sealRevocation(
    recordCrypto,
    {
      certificateHash: moss.certificateHash,
      person: 'moss',
      kind: 'retired',
      since: '2027-03-09T08:00:00.000Z',
      at: '2027-04-01T08:00:00.000Z',
      reason: 'the computer was lost',
      issuer: notebook.department.publicKey,
      ...changes,
    },
    sign,
  );
  notebook.tables['revocation']!.push({
    ...sealed,
    certificate_hash: changes.certificateHash ?? moss.certificateHash,
    kind: changes.kind ?? 'retired',
    since: changes.since ?? '2027-03-09T08:00:00.000Z',
  });
  notebook.event(null, 'key.retire', null, [attestSealed('revocation', sealed)]);
}
const check = (outside: readonly Witness[] = []): CheckReport =>
  verifyNotebook(inputFromTables(notebook.read, notebook.department.publicKey, outside), recordCrypto);
const codes = (report: CheckReport): readonly string[] => report.findings.map((finding) => finding.code);

const doubts = (report: CheckReport): CheckReport['findings'] =>
  report.findings.filter((finding) => finding.severity === 'doubtful');

describe('a withdrawn key', () => {
  it('leaves what a retired key signed good', () => {
    withdraw({});
    expect(check().isSound).toBe(true);
    expect(check().findings).toEqual([
      {
        severity: 'note',
        code: 'key-retired',
        place: 'certificate 2, of Dr H. Moss',
        sentence:
          'This key was retired on 1 April 2027 (the computer was lost). What it signed before stays good.',
      },
    ]);
  });

  it('does not sign any more: what it signed after it was retired is doubtful', () => {
    withdraw({ at: '2027-03-09T08:00:00.000Z' });
    const report = check();
    expect(report.isSound).toBe(true);
    expect(new Set(codes(report))).toEqual(new Set(['key-retired', 'signed-after-retirement']));
  });

  it('does not sign for an earlier day either: what was back-dated is doubtful, by its place', () => {
    const version = notebook.versionsOf('e2')[0]!;
    const signed = notebook.tables['signature']!.find((row) => row['entry_id'] === 'e2')!;
    const told = notebook.tables['event']!.find((row) => row['entry_id'] === 'e2' && row['n'] === 1)!;
    const signedAt = new Date(Date.parse(String(told['at'])) + 1000).toISOString();
    withdraw({ at: notebook.now() });
    // Its holder names the day and the place in the trail that were before the retirement.
    const sealed = sealSignature(
      recordCrypto,
      {
        notebook: notebook.id,
        record: 'rec-a',
        entry: 'e2',
        n: 1,
        versionHash: String(version['hash']),
        eventHead: String(told['hash']),
        eventSeq: Number(told['seq']),
        meaning: 'countersigned',
        signer: { person: 'moss', printedName: moss.printedName, role: 'instructor' },
        certificateHash: moss.certificateHash,
        signedAt,
        offsetMinutes: 60,
        previousSignatures: [String(signed['hash'])],
        remark: '10 of 10',
      },
      moss.key.sign,
    );
    notebook.tables['signature']!.push({
      ...sealed,
      entry_id: 'e2',
      n: 1,
      version_hash: String(version['hash']),
      meaning: 'countersigned',
      person_id: 'moss',
      certificate_hash: moss.certificateHash,
      signed_at: signedAt,
    });
    const entry = notebook.row('entry', 'id', 'e2');
    Object.assign(entry, { state: 'countersigned', mark: '10 of 10' });
    notebook.event(moss, 'entry.countersign', { record: 'rec-a', entry: 'e2', n: 1 }, [
      attestSealed('signature', sealed),
      attestRow(recordCrypto, 'entry', entry),
    ]);
    const report = check();
    expect(report.isSound).toBe(true);
    expect(doubts(report)).toMatchObject([{ code: 'signed-before-told' }]);
    expect(doubts(report)[0]?.place).toMatch(/^entry 2 of .*Dr H\. Moss/);
    expect(doubts(report)[0]?.sentence).toContain('may have been back-dated');
  });

  it('that was retired first and found in wrong hands later counts as in wrong hands, in any order', () => {
    withdraw({});
    withdraw({ kind: 'compromised' });
    expect(codes(check())).toContain('signed-with-compromised-key');
    notebook.tables['revocation']!.reverse();
    expect(codes(check())).toContain('signed-with-compromised-key');
  });

  it('makes the signatures of a key in wrong hands doubtful, each by its place', () => {
    withdraw({ kind: 'compromised' });
    const report = check();
    expect(report.isSound).toBe(true);
    expect(new Set(codes(report))).toEqual(new Set(['key-in-wrong-hands', 'signed-with-compromised-key']));
    expect(doubts(report)).toHaveLength(4);
    expect(doubts(report)[0]?.place).toContain('Dr H. Moss');
  });

  it('leaves those good that somebody else saw before it got into wrong hands', () => {
    withdraw({ kind: 'compromised', since: '2027-03-20T08:00:00.000Z' });
    const seen = (seq: number, seenAt: string): Witness => ({
      notebook: notebook.id,
      seq,
      head: String(notebook.tables['event']![seq - 1]!['hash']),
      source: 'receipt',
      seenAt,
    });
    expect(doubts(check([seen(26, '2027-03-10T08:00:00.000Z')]))).toEqual([]);
    expect(doubts(check([seen(26, '2027-03-25T08:00:00.000Z')]))).toHaveLength(4);
    // Seen at event 15: only what was signed before then is witnessed.
    expect(doubts(check([seen(15, '2027-03-10T08:00:00.000Z')])).length).toBeLessThan(4);
  });

  it('is withdrawn by the department alone', () => {
    withdraw({ kind: 'compromised' }, keyFrom('mallory').sign);
    expect(codes(check())).toEqual(['revocation-forged']);
    expect(check().isSound).toBe(false);
  });

  it('cannot be quietly put back into use by taking the notice out', () => {
    withdraw({ kind: 'compromised' });
    notebook.tables['revocation'] = [];
    expect(codes(check())).toEqual(['row-missing']);
  });
});
