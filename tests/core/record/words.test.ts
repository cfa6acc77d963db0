import { describe, expect, it } from 'vitest';
import { strengthText } from '../../../core/record/content-text.ts';
import { blanksIn } from '../../../core/record/blanks.ts';
import { fingerprint, isFingerprintOf, keyFingerprint } from '../../../core/record/fingerprint.ts';
import type { AuditEvent } from '../../../core/record/objects.ts';
import { passphraseProblem } from '../../../core/record/passphrase.ts';
import { remainingWaitSeconds, retryWaitSeconds } from '../../../core/record/retry.ts';
import { signingStatement, type StatementFacts } from '../../../core/record/signing-statement.ts';
import { trailActions, trailSentence } from '../../../core/record/trail.ts';
import { dateText, whenText } from '../../../core/record/when.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import { sampleContent } from './sample-content.ts';

describe('strengthText', () => {
  it('writes a mixture by its parts', () => {
    const one = { text: '1', unit: '1' } as const;
    const stock = { text: '12.1', unit: 'mol/L' } as const;
    const kind = 'parts-by-volume';
    expect(strengthText({ kind, entered: stock, stockParts: one, waterParts: one })).toBe(
      '1 : 1 by volume of 12.1 mol/L with water',
    );
    expect(strengthText({ kind, entered: { ...stock, text: '' }, stockParts: one, waterParts: null })).toBe(
      '1 : ? by volume',
    );
  });
});

const facts: StatementFacts = {
  meaning: 'performed',
  entryNumber: 3,
  recordTitle: 'Organic preparations',
  course: 'Year 2',
  n: 2,
  versionHash: '3f9a02c177bed4105c2e'.padEnd(64, '0'),
  content: sampleContent(),
  computed: {
    engine: 'test',
    lines: [{ id: 'y', title: 'Percentage yield', value: '69.6', unit: '%', lines: [] }],
  },
  signer: { printedName: 'Ada Fennel', role: 'student' },
  certificate: { serial: 4, notAfter: '2027-12-31T23:59:59.000Z' },
  at: '2027-03-09T13:05:09.000Z',
  offsetMinutes: 60,
  earlier: [],
  eventSeq: 41,
  reason: 'comment answered',
  remark: '',
  openComments: 0,
  isClockBack: false,
  doubts: [],
};

describe('signingStatement', () => {
  it('says in plain words what will be bound', () => {
    const text = signingStatement(facts);
    expect(text.statement).toBe('I carried out this work and this is my record of it.');
    expect(text.warnings).toEqual([]);
    expect(text.versionHash).toBe(facts.versionHash);
    expect(text.lines).toEqual([
      { label: 'Entry', value: '3, Acetylsalicylic acid' },
      { label: 'Record', value: 'Organic preparations, Year 2' },
      { label: 'Day of the practical', value: '9 March 2027' },
      { label: 'Version', value: '2, which replaces version 1' },
      { label: 'Reason', value: 'comment answered' },
      { label: 'Percentage yield', value: '69.6 %' },
      { label: 'Signed by', value: 'Ada Fennel, student' },
      { label: 'Key', value: 'certificate 4 of the department, good until 31 December 2027' },
      { label: 'Time', value: '9 March 2027, 14:05:09 (UTC+01:00)' },
      { label: 'Place in the audit trail', value: 'after event 41' },
      { label: 'Fingerprint of this version', value: '3F9A 02C1 77BE D410 5C2E' },
    ]);
  });

  it('warns of what is blank, doubtful or unsettled, and never forbids', () => {
    const content = sampleContent({
      discussion: ' ',
      stepRecords: [],
      result: {
        ...sampleContent().result,
        crude: { mass: null, instrument: null },
        pure: { mass: null, instrument: null },
      },
    });
    const { warnings } = signingStatement({
      ...facts,
      content,
      openComments: 2,
      isClockBack: true,
      doubts: ['The yield is above 100 %.'],
    });
    expect(warnings).toEqual([
      'Left blank: discussion.',
      'One step is not ticked as done.',
      'No mass of product is noted.',
      'The yield is above 100 %.',
      '2 comments are not settled yet.',
      'The clock of this computer shows an earlier time than the last event of the trail. The time of this signature will be marked as doubtful.',
    ]);
  });

  it('names rows whose amount taken is missing', () => {
    const content = sampleContent();
    const rows = content.rows.map((row) => ({ ...row, taken: null }));
    expect(blanksIn({ ...content, rows })).toEqual([
      'No amount taken is noted for salicylic acid, acetic anhydride.',
    ]);
  });
});

describe('trailSentence', () => {
  const event = (changes: Partial<AuditEvent>): AuditEvent => ({
    type: 'event',
    format: 1,
    notebook: 'nb',
    seq: 1,
    previous: '0'.repeat(64),
    at: '2027-03-09T13:05:09.000Z',
    offsetMinutes: 60,
    isClockBack: false,
    monotonicMs: 0,
    device: 'd',
    actor: null,
    action: 'draft.save',
    object: { record: 'r', entry: 'e', n: null },
    changes: [],
    evidence: [],
    reason: '',
    ...changes,
  });
  const names = { entryNumber: () => 3, recordTitle: () => 'Organic preparations' };
  const change = { path: 'Aim', old: '', new: 'x' };

  it.each([
    [{ changes: [change, change] }, 'changed the draft of entry 3, in 2 places'],
    [{ changes: [change] }, 'changed the draft of entry 3, in one place'],
    [
      { action: 'entry.sign', object: { record: 'r', entry: 'e', n: 2 } },
      'signed entry 3, version 2 and handed it in',
    ],
    [
      { action: 'session.refused', object: { record: null, entry: null, n: null } },
      'was refused: wrong passphrase',
    ],
    [
      { action: 'record.begin', object: { record: 'r', entry: null, n: null } },
      'began a practical record “Organic preparations”',
    ],
    [{ action: 'moon.landing' }, 'did something this program has no words for (moon.landing)'],
  ])('tells %o', (changes, sentence) => {
    expect(trailSentence(event(changes as Partial<AuditEvent>), names)).toBe(sentence);
  });

  it('leaves no placeholder open in any action', () => {
    for (const action of Object.keys(trailActions)) {
      for (const object of [
        { record: null, entry: null, n: null },
        { record: 'r', entry: 'e', n: 1 },
      ]) {
        const sentence = trailSentence(event({ action, object }), names);
        expect(sentence).not.toMatch(/[{}]|undefined|null| {2}/);
      }
    }
  });
});

describe('retry', () => {
  it('grows, starts after three tries and has an end', () => {
    expect([0, 1, 2, 3, 4, 5, 20, 1000].map(retryWaitSeconds)).toEqual([0, 0, 0, 2, 4, 8, 900, 900]);
  });

  it('is not shortened by setting the clock back', () => {
    const failed = '2027-03-09T09:00:00.000Z';
    expect(remainingWaitSeconds(5, failed, '2027-03-09T09:00:03.000Z')).toBe(5);
    expect(remainingWaitSeconds(5, failed, '2027-03-09T09:00:08.000Z')).toBe(0);
    expect(remainingWaitSeconds(5, failed, '2027-03-08T09:00:00.000Z')).toBe(8);
    expect(remainingWaitSeconds(5, failed, 'not a time')).toBe(8);
    // Put right after it was ahead: the seconds that are sure count, and end the wait.
    expect(remainingWaitSeconds(5, failed, '2027-03-08T09:00:00.000Z', 3)).toBe(5);
    expect(remainingWaitSeconds(5, failed, '2027-03-08T09:00:00.000Z', 8)).toBe(0);
    expect(remainingWaitSeconds(5, failed, '2027-03-09T09:00:03.000Z', 8)).toBe(5);
    expect(remainingWaitSeconds(5, null, failed)).toBe(0);
    expect(remainingWaitSeconds(Number.NaN, failed, failed)).toBe(0);
  });
});

describe('passphraseProblem', () => {
  it.each([
    ['nine of 10', null],
    ['short', 'passphrase-too-short'],
    ['', 'passphrase-too-short'],
    ['aaaaaaaaaaaaaaa', 'passphrase-too-simple'],
    ['ada fennel', 'passphrase-too-simple'],
    ['Ada  FENNEL', 'passphrase-too-simple'],
    ['x'.repeat(20) + 'abcdefg'.repeat(30), 'passphrase-too-long'],
    ['\ud800 broken typing', 'lone-surrogate'],
    // Ten characters, not ten UTF-16 units.
    ['🧪🧫🔬⚗️🌡️', 'passphrase-too-short'],
  ])('judges “%s”', (typed, code) => {
    expect(passphraseProblem(typed, 'Ada Fennel')?.code ?? null).toBe(code);
  });
});

describe('fingerprint', () => {
  it('is recognised however it was typed', () => {
    const hash = recordCrypto.sha256(new Uint8Array());
    const printed = fingerprint(hash);
    expect(printed).toMatch(/^([0-9A-F]{4} ){4}[0-9A-F]{4}$/);
    expect(isFingerprintOf(printed, hash)).toBe(true);
    expect(isFingerprintOf(printed.toLowerCase().replaceAll(' ', '-'), hash)).toBe(true);
    expect(isFingerprintOf(hash, hash)).toBe(true);
    expect(isFingerprintOf(printed.slice(0, 9), hash)).toBe(false);
    expect(isFingerprintOf('', hash)).toBe(false);
    expect(keyFingerprint(recordCrypto, 'ab'.repeat(32))).not.toBe(
      keyFingerprint(recordCrypto, 'ac'.repeat(32)),
    );
  });
});

describe('whenText', () => {
  it.each([
    ['2027-03-09T23:30:00.000Z', 60, '10 March 2027, 00:30:00 (UTC+01:00)'],
    ['2027-03-09T01:00:00.000Z', -210, '8 March 2027, 21:30:00 (UTC−03:30)'],
    ['2027-03-09T01:00:00.000Z', 0, '9 March 2027, 01:00:00 (UTC)'],
    ['no time', 0, 'no time'],
  ])('%s at %i min', (at, offset, text) => {
    expect(whenText(at, offset)).toBe(text);
  });
  it('writes a calendar date out, and leaves other text alone', () => {
    expect(dateText('2027-03-09')).toBe('9 March 2027');
    expect(dateText('2027-13-09')).toBe('2027-13-09');
    expect(dateText('')).toBe('');
  });
});
