import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  createWriteStream,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../../core/contract/views.ts';
import { canonical } from '../../../core/record/canonical.ts';
import { bundleOfEntries } from '../../../core/record/bundle.ts';
import { classFiles, type PackedRecord } from '../../../electron/archive/class-write.ts';
import { classListName, readClassList } from '../../../electron/archive/class-list.ts';
import { depositFiles } from '../../../electron/archive/deposit-write.ts';
import { newestVersions, type Sending } from '../../../electron/archive/hand-in.ts';
import type { SealingKey } from '../../../electron/archive/seal-bag.ts';
import { writeFolder } from '../../../electron/archive/folder-write.ts';
import { inFolder, writeZip, type ArchiveFile } from '../../../electron/archive/zip-write.ts';
import { checkFile } from '../../../electron/check/check-file.ts';
import { cheapScryptCost, createKey } from '../../../electron/keys/sealed-key.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { sampleNotebook, type PaperNotebook } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { readmeSteps } from './readme-steps.ts';

let folder: string;
let bag: string;
let notebook: PaperNotebook;
let count = 0;

const sending = (of: PaperNotebook, record: string | null): Sending => ({
  notebook: of.id,
  record,
  eventSeq: of.head.seq,
  eventHead: of.head.hash,
  at: '2027-07-01T09:00:00.000Z',
  offsetMinutes: 120,
  signer: { person: 'department', printedName: 'Department of Chemistry', role: 'department' },
  certificateHash: String(of.tables['certificate']![0]!['hash']),
});

/** Two records as zipped bags, each of one entry. */
async function* packed(of: PaperNotebook, to: string): AsyncGenerator<PackedRecord> {
  for (const [name, entry] of [
    ['001-fennel', 'e1'],
    ['002-fennel', 'e2'],
  ] as const) {
    const bundle = bundleOfEntries(of.read, new Set([entry]));
    const from = join(to, `${name}.zip`);
    const files = depositFiles(
      {
        bundle,
        recordTitle: '=HYPERLINK("http://example.org")',
        owner: 'Ada Fennel',
        documents: [{ path: 'record.pdf', data: Buffer.from('%PDF-1.7 a document') }],
        attachments: of.tables['attachment']!.map((row) => ({
          sha256: String(row['sha256']),
          data: row['data'] as Uint8Array,
        })).filter(({ sha256: name }) => bundle.versions.some((one) => one.bytes.includes(name))),
      },
      sending(of, 'rec-a'),
      of.department.sign,
    );
    await writeZip(createWriteStream(from), inFolder(name, files));
    yield {
      line: {
        file: `records/${name}.zip`,
        record: 'rec-a',
        title: '=HYPERLINK("http://example.org")',
        course: 'Course II',
        owner: 'Ada Fennel',
        entryCount: 1,
        countersignedCount: 1,
        sha256: sha256(readFileSync(from)),
      },
      from,
      sizeBytes: statSync(from).size,
      entries: newestVersions(bundle),
    };
  }
}

async function* wholeFiles(files: ReturnType<typeof classFiles>): AsyncGenerator<ArchiveFile> {
  for await (const file of files) {
    yield 'data' in file ? file : { path: file.path, data: readFileSync(file.from) };
  }
}
const ofClass = (records: AsyncGenerator<PackedRecord>, key: string, sign: SealingKey) =>
  classFiles(
    {
      about: {
        institution: 'Wexcombe College',
        department: 'Department of Chemistry',
        departmentKey: key,
        notebook: notebook.id,
        depositedAt: '2027-07-01T09:00:00.000Z',
      },
      records,
    },
    sending(notebook, null),
    sign,
  );

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-class-test-'));
  ({ notebook } = sampleNotebook(sampleContent));
  bag = join(folder, 'bag');
  const { publicKey, sign } = notebook.department;
  await writeFolder(bag, wholeFiles(ofClass(packed(notebook, folder), publicKey, sign)));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function copied(act: (path: string) => void): string {
  count += 1;
  const path = join(folder, `copy-${count}`);
  cpSync(bag, path, { recursive: true });
  act(path);
  return path;
}
async function check(path: string): Promise<CheckReport> {
  const report = await checkFile(path, { pinnedKey: notebook.department.publicKey });
  if (!report.ok) throw new Error(report.error.code);
  return report.value;
}
const shell = (command: string, cwd = bag): string =>
  execFileSync('bash', ['-c', command], { cwd, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
/** The list of files written anew, as somebody without the department's key could. */
const relist = (at: string): void => {
  shell('find data -type f -exec sha512sum {} + > manifest-sha512.txt', at);
  shell(
    'find . -maxdepth 2 -not -path "./data*" -type f -not -name "tagmanifest*" -printf "%P\\n" | xargs sha512sum > tags; mv tags tagmanifest-sha512.txt',
    at,
  );
  unlinkSync(join(at, 'bag-info.txt'));
  shell("sed -i '/bag-info/d' tagmanifest-sha512.txt", at);
};

describe('a class deposited as one bag', () => {
  it('is sound, as a folder and as a zip, and says how many records it holds', async () => {
    const report = await check(bag);
    expect(report.findings).toEqual([]);
    expect(report.isSound).toBe(true);
    expect(report.checked[0]).toEqual({ what: 'deposits', count: 2 });
    const zipped = join(folder, 'class.zip');
    const { publicKey, sign } = notebook.department;
    mkdirSync(join(folder, 'again'));
    const files = ofClass(packed(notebook, join(folder, 'again')), publicKey, sign);
    await writeZip(createWriteStream(zipped), inFolder('class', files));
    expect((await check(zipped)).findings).toEqual([]);
  });

  it('is confirmed record by record with the README’s own commands', async () => {
    const readme = readFileSync(join(bag, 'data/README.txt'), 'utf8');
    const steps = readmeSteps(readme);
    expect(steps).toHaveLength(4);
    expect(shell(steps[0]!)).toMatch(/^good\n(\d+)\n\1\n$/);
    const sealed = shell(steps[1]!);
    expect(sealed).toContain('Signature Verified Successfully');
    expect(new Set(sealed.match(/[0-9a-f]{64}/g))).toHaveProperty('size', 1);
    const { departmentFingerprint } = await check(bag);
    expect(shell(steps[2]!).slice(0, 20).toUpperCase()).toBe(departmentFingerprint.replaceAll(' ', ''));
    const unpacked = copied(() => undefined);
    const output = shell(`${steps[3]!} 2>&1`, unpacked);
    expect(output.match(/Signature Verified Successfully/g)).toHaveLength(2);
    expect(output).not.toContain('BAD');
    const forged = copied((at) => {
      shell(steps[3]!, at);
      appendFileSync(join(at, 'records/002-fennel/data/record.pdf'), ' ');
    });
    expect((await check(unpacked)).findings).toMatchObject([
      { severity: 'doubtful', code: 'bag-file-strange', place: 'the folder records' },
    ]);
    // A folder of that name that came with the package is not taken for the unpacked one.
    expect(() => shell(steps[3]!, forged)).toThrow();
    const again = steps[3]!.replace('mkdir records && ', '');
    expect(shell(`${again} 2>&1`, forged)).toMatch(/002-fennel is BAD/);
    const padded = copied((at) => {
      shell(steps[3]!, at);
      writeFileSync(join(at, 'records/001-fennel/data/extra.pdf'), '%PDF-');
    });
    expect(shell(`${again} 2>&1`, padded)).toMatch(/001-fennel is BAD/);
  });

  it('has a table of the class that no spreadsheet runs', () => {
    const table = readFileSync(join(bag, 'data/class-list.csv'), 'utf8');
    expect(table).toContain(`"'=HYPERLINK(""http://example.org"")"`);
    const rows = execFileSync(
      'python3',
      [
        '-c',
        'import csv,sys; print(len(list(csv.reader(open(sys.argv[1], encoding="utf-8-sig")))))',
        join(bag, 'data/class-list.csv'),
      ],
      { encoding: 'utf8' },
    );
    expect(Number(rows)).toBe(3);
  });

  /** The list of the class edited, and then the lists of files, as one without the key could. */
  const relined = (at: string, edit: (list: Record<string, unknown>[]) => void): void => {
    const path = join(at, classListName);
    const list = JSON.parse(readFileSync(path, 'utf8')) as { records: Record<string, unknown>[] };
    edit(list.records);
    writeFileSync(path, canonical(list));
    relist(at);
  };
  const named = (report: CheckReport, code: string): readonly string[] =>
    report.findings.filter((one) => one.code === code).map((one) => one.place);

  /** A bag of the same record that the department sealed as well, before its newest version. */
  async function olderRecord(name: string): Promise<Buffer> {
    const bundle = bundleOfEntries(notebook.read, new Set(['e1']));
    const newest = newestVersions(bundle)[0]!.versionHash;
    const older = { ...bundle, versions: bundle.versions.filter((one) => one.hash !== newest) };
    expect(older.versions.length).toBeGreaterThan(0);
    const from = join(folder, `older-${name}.zip`);
    const files = depositFiles(
      { bundle: older, recordTitle: 'A title', owner: 'Ada Fennel', documents: [], attachments: [] },
      sending(notebook, 'rec-a'),
      notebook.department.sign,
    );
    await writeZip(createWriteStream(from), inFolder(name, files));
    return readFileSync(from);
  }

  it('names the record that an older copy was put in for, with every list made to fit', async () => {
    const older = await olderRecord('001-fennel');
    const path = copied((at) => {
      writeFileSync(join(at, 'data/records/001-fennel.zip'), older);
      relined(at, (records) => {
        records[0]!['sha256'] = sha256(older);
      });
    });
    const report = await check(path);
    expect(report.isSound).toBe(false);
    expect(named(report, 'class-record-exchanged')).toEqual([
      'records/001-fennel.zip: this record as a whole',
    ]);
  });

  it('says how many entries are gone when a record was left out of every list', async () => {
    const path = copied((at) => {
      unlinkSync(join(at, 'data/records/002-fennel.zip'));
      relined(at, (records) => {
        records.pop();
      });
    });
    const report = await check(path);
    expect(report.isSound).toBe(false);
    expect(report.findings.map((one) => one.code)).toEqual(
      expect.arrayContaining(['seal-of-other-files', 'class-entries-gone']),
    );
    expect(report.findings.find((one) => one.code === 'class-entries-gone')?.sentence).toMatch(
      /^one entry .* is missing/,
    );
  });

  it('names a record that was added, in the list or beside it', async () => {
    const older = await olderRecord('003-fennel');
    const beside = await check(
      copied((at) => {
        writeFileSync(join(at, 'data/records/003-fennel.zip'), older);
        relist(at);
      }),
    );
    expect(named(beside, 'class-record-unlisted')).toEqual(['the file data/records/003-fennel.zip']);
    const listed = await check(
      copied((at) => {
        writeFileSync(join(at, 'data/records/003-fennel.zip'), older);
        relined(at, (records) => {
          records.push({ ...records[0]!, file: 'records/003-fennel.zip', sha256: sha256(older) });
        });
      }),
    );
    expect(named(listed, 'class-record-exchanged')).toEqual([
      'records/003-fennel.zip: this record as a whole',
    ]);
  });

  it.each([
    [
      'a record exchanged for another, lists and all',
      (at: string) => {
        cpSync(join(at, 'data/records/001-fennel.zip'), join(at, 'data/records/002-fennel.zip'));
        relist(at);
      },
      'seal-of-other-files',
    ],
    [
      'a record left out, lists and all',
      (at: string) => {
        unlinkSync(join(at, 'data/records/002-fennel.zip'));
        relist(at);
      },
      'package-incomplete',
    ],
    [
      'a record cut short',
      (at: string) => writeFileSync(join(at, 'data/records/001-fennel.zip'), 'PK\x03\x04'),
      'package-damaged',
    ],
    [
      'a seal of another key',
      (at: string) =>
        writeFileSync(
          join(at, 'seal/checkpoint.json'),
          readFileSync(join(at, 'seal/checkpoint.json'), 'utf8').replace(
            /"signature":"[0-9a-f]+"/,
            `"signature":"${'ab'.repeat(64)}"`,
          ),
        ),
      'seal-broken',
    ],
  ])('shows %s, and which it is', async (_, act, code) => {
    const report = await check(copied(act));
    expect(report.isSound).toBe(false);
    const finding = report.findings.find((one) => one.code === code);
    expect(finding?.place).toMatch(/seal|records\/00\d-fennel\.zip/);
    expect(finding?.sentence).toMatch(/\.$/);
  });

  it('is not the department’s when somebody else sealed a list of its records', async () => {
    const { key: stranger } = await createKey(
      { person: 'department', keyId: 'theirs' },
      'a passphrase of theirs',
      cheapScryptCost,
    );
    const path = join(folder, 'stranger');
    mkdirSync(join(folder, 'theirs'));
    await writeFolder(
      path,
      wholeFiles(ofClass(packed(notebook, join(folder, 'theirs')), stranger.publicKey, stranger.sign)),
    );
    const report = await check(path);
    expect(report.isSound).toBe(false);
    expect(report.findings.map((one) => one.code)).toContain('class-of-others');
  });

  it('has a list that is read strictly', () => {
    const text = readFileSync(join(bag, classListName), 'utf8');
    expect(readClassList(text).ok).toBe(true);
    const codeOf = (source: string): string => {
      const read = readClassList(source);
      return read.ok ? 'ok' : read.error.code;
    };
    expect(codeOf(text.replace('"format":1', '"format":2'))).toBe('format-newer');
    expect(codeOf(text.replace('records/001-fennel.zip', 'records/../../x.zip'))).toBe('wrong-shape');
    expect(codeOf(text.replace('{', '{"__proto__":{"a":1},'))).not.toBe('ok');
    expect(codeOf(text.replace(/"records":\[.*\],/, '"records":[],'))).toBe('wrong-shape');
  });
});
