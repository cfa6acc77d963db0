import { beforeEach, describe, expect, it } from 'vitest';
import { attestRow, type StoredRow } from '../../../core/record/attest.ts';
import { inputFromTables } from '../../../core/record/check-tables.ts';
import type { CheckReport } from '../../../core/contract/views.ts';
import { verifyNotebook } from '../../../core/record/verify.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import { keyFrom, sampleNotebook, type PaperNotebook, type TestPerson } from './paper-notebook.ts';
import { sampleContent } from './sample-content.ts';

let notebook: PaperNotebook;
let ben: TestPerson;
let moss: TestPerson;
beforeEach(() => {
  ({ notebook, ben, moss } = sampleNotebook(sampleContent));
});

const check = (): CheckReport =>
  verifyNotebook(inputFromTables(notebook.read, notebook.department.publicKey), recordCrypto);
const rows = (table: string): StoredRow[] => notebook.tables[table] ?? [];
const change = (table: string, index: number, changes: StoredRow): void => {
  rows(table)[index] = { ...rows(table)[index], ...changes };
};
const versionAt = (entry: string, n: number): number =>
  rows('version').findIndex((row) => row['entry_id'] === entry && row['n'] === n);
/** Exchanges some columns of two rows. */
function swap(table: string, a: number, b: number, columns: readonly string[]): void {
  const [one, other] = [rows(table)[a] ?? {}, rows(table)[b] ?? {}];
  const of = (row: StoredRow): StoredRow =>
    Object.fromEntries(columns.map((column) => [column, row[column] ?? null]));
  change(table, a, of(other));
  change(table, b, of(one));
}
const placesOf = (report: CheckReport): readonly string[] => report.findings.map((one) => one.place);

describe('versions that changed places', () => {
  it('are found when the texts of two entries are exchanged', () => {
    swap('version', versionAt('e1', 1), versionAt('e2', 1), ['bytes']);
    const report = check();
    expect(report.isSound).toBe(false);
    expect(report.findings[0]?.code).toBe('version-changed');
    expect(placesOf(report).slice(0, 2).toSorted()).toEqual([
      'entry 1 of “Organic preparations, A. Fennel”, version 1',
      'entry 2 of “Organic preparations, A. Fennel”, version 1',
    ]);
  });

  it('are found when text and hash are exchanged, and the columns kept', () => {
    swap('version', versionAt('e1', 1), versionAt('e1', 2), ['bytes', 'hash']);
    const report = check();
    expect(report.isSound).toBe(false);
    expect(report.findings[0]).toMatchObject({ code: 'column-differs' });
    expect(report.findings[0]?.place).toMatch(
      /^entry 1 of “Organic preparations, A\. Fennel”, version [12]$/,
    );
  });

  it('are found when the signature of one is put to the other', () => {
    const [first, second] = [versionAt('e1', 1), versionAt('e1', 2)].map((at) => rows('version')[at]);
    const index = rows('signature').findIndex((row) => row['version_hash'] === second?.['hash']);
    change('signature', index, { version_hash: first?.['hash'] ?? '', n: 1 });
    const [found] = check().findings;
    expect(found).toMatchObject({ severity: 'broken', code: 'column-differs' });
    expect(found?.place).toMatch(/^entry 1 of .*, version 2: “/);
  });

  it('do not hide that the newer one is gone', () => {
    const newer = versionAt('e1', 2);
    const hash = rows('version')[newer]?.['hash'];
    rows('version').splice(newer, 1);
    notebook.tables['signature'] = rows('signature').filter((row) => row['version_hash'] !== hash);
    const report = check();
    expect(report.isSound).toBe(false);
    expect(report.findings.map((one) => one.code)).toEqual(
      expect.arrayContaining(['row-missing', 'state-differs']),
    );
    expect(placesOf(report).join('\n')).toMatch(/written at event \d+ of the audit trail/);
  });
});

describe('an entry that was once accepted', () => {
  it('is not struck out, even when the trail is made to say so', () => {
    notebook.amend(ben, 'e3', 'another reason');
    notebook.save(ben, 'e3', { ...notebook.contentOf('e3'), discussion: 'Once more.' });
    notebook.sign(ben, 'e3', 'amended', 'another reason');
    notebook.review(moss, 'e3', 'returned', 'Not yet.');
    expect(check().findings).toEqual([]);
    const index = rows('entry').findIndex((row) => row['id'] === 'e3');
    change('entry', index, { state: 'struck-out', strike_out_reason: 'unwanted' });
    notebook.event(ben, 'entry.strike-out', { entry: 'e3' }, [
      attestRow(recordCrypto, 'entry', rows('entry')[index] ?? {}),
    ]);
    const [found] = check().findings;
    expect(found?.code).toBe('state-differs');
    expect(found?.place).toBe('entry 1 of “Organic preparations, B. Sorrel”');
  });
});

describe('a key put in the place of another', () => {
  it('is found by the row that the trail describes, and opens nothing that was signed', () => {
    const mallory = keyFrom('mallory');
    const index = rows('sealed_key').findIndex((row) => row['person_id'] === 'moss');
    change('sealed_key', index, { public_key: mallory.publicKey, sealed: '{"other":"key"}' });
    const [found, ...others] = check().findings;
    expect(found).toMatchObject({ code: 'row-changed', place: 'the locked key of a person' });
    expect(others).toEqual([]);
  });

  it('signs nothing that passes, whatever else was changed to fit', () => {
    const mallory = { ...moss, key: keyFrom('mallory') };
    notebook.beginEntry(ben, 'rec-b', 'e9', sampleContent());
    notebook.sign(ben, 'e9');
    notebook.review(mallory, 'e9', 'countersigned', '10 of 10');
    const [found] = check().findings;
    expect(found).toMatchObject({ code: 'signature-invalid' });
    expect(found?.place).toMatch(/^entry 3 of “Organic preparations, B\. Sorrel”, version 1: “Reviewed/);
  });
});
