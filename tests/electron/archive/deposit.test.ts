import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  createWriteStream,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../../core/contract/views.ts';
import { bundleFileName, bundleOfEntries } from '../../../core/record/bundle.ts';
import { depositFiles, type DepositSource } from '../../../electron/archive/deposit-write.ts';
import { checkDeposit } from '../../../electron/archive/deposit-check.ts';
import { openDeposit } from '../../../electron/archive/deposit-read.ts';
import { writeFolder } from '../../../electron/archive/folder-write.ts';
import { isSafePath, validateBag } from '../../../electron/archive/bag.ts';
import { inFolder, writeZip } from '../../../electron/archive/zip-write.ts';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sampleNotebook, type PaperNotebook } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { readmeSteps } from './readme-steps.ts';

let folder: string;
let bag: string;
let notebook: PaperNotebook;
let count = 0;

const source = (): DepositSource => ({
  bundle: bundleOfEntries(notebook.read, new Set(['e1', 'e2'])),
  recordTitle: 'Organic preparations,\nExternal-Identifier: forged',
  owner: 'Ada Fennel',
  documents: [{ path: 'record.pdf', data: new TextEncoder().encode('%PDF-1.7 a document') }],
  attachments: notebook.tables['attachment']!.map((row) => ({
    sha256: String(row['sha256']),
    data: row['data'] as Uint8Array,
  })),
});
const files = () =>
  depositFiles(
    source(),
    {
      notebook: notebook.id,
      record: 'rec-a',
      eventSeq: notebook.head.seq,
      eventHead: notebook.head.hash,
      at: '2027-07-01T09:00:00.000Z',
      offsetMinutes: 120,
      signer: { person: 'department', printedName: 'Department of Chemistry', role: 'department' },
      certificateHash: String(notebook.tables['certificate']![0]!['hash']),
    },
    notebook.department.sign,
  );
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-deposit-test-'));
  notebook = sampleNotebook(sampleContent).notebook;
  bag = join(folder, 'bag');
  await writeFolder(bag, files());
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

describe('a deposit', () => {
  it('is sound, as a folder and as a zip', async () => {
    const report = await check(bag);
    expect(report.findings).toEqual([]);
    expect(report.isSound).toBe(true);
    const zipped = join(folder, 'bag.zip');
    await writeZip(createWriteStream(zipped), inFolder('organic-preparations', files()));
    expect((await check(zipped)).findings).toEqual([]);
  });

  it('can be opened for reading', async () => {
    const opened = await openDeposit(bag);
    if (!opened.ok) throw new Error(opened.error.code);
    expect(opened.value.documents).toEqual(['data/record.pdf']);
    expect(opened.value.bundle.versions).toHaveLength(3);
    opened.value.close();
  });

  it('lets no line of a title write a tag of its own', () => {
    const info = readFileSync(join(bag, 'bag-info.txt'), 'utf8');
    expect(info.match(/^External-Identifier:.*$/gm)).toEqual(['External-Identifier: rec-a']);
    expect(info).toMatch(/^Payload-Oxum: \d+\.\d+$/m);
  });

  it('has payload names that no file system folds or composes', () => {
    const names = (readdirSync(join(bag, 'data'), { recursive: true }) as string[]).map((name) =>
      name.replaceAll('\\', '/'),
    );
    for (const name of names) expect(name).toMatch(/^(README\.txt|[a-z0-9._/-]+)$/);
    expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(names.length);
  });
});

/** The README's procedure, taken from the README itself and run as a person would. */
describe('a deposit without the program', () => {
  const readme = (): string => readFileSync(join(bag, 'data/README.txt'), 'utf8');
  const blocks = (): readonly string[] => readmeSteps(readme());

  it('is confirmed by sha512sum', () => {
    const [good, there, listed] = shell(blocks()[0]!).trim().split('\n');
    expect(good).toBe('good');
    expect(there).toBe(listed);
    const added = copied((at) => writeFileSync(join(at, 'data/999.pdf'), '%PDF-'));
    const [stillGood, more, asListed] = shell(blocks()[0]!, added).trim().split('\n');
    expect(stillGood).toBe('good');
    expect(Number(more)).toBe(Number(asListed) + 1);
  });

  it('is confirmed by openssl and sha256sum to be what the department sealed', () => {
    const output = shell(blocks()[1]!);
    expect(output).toContain('Signature Verified Successfully');
    const hashes = output.match(/[0-9a-f]{64}/g)!;
    expect(hashes).toHaveLength(2);
    expect(hashes[0]).toBe(hashes[1]);
  });

  it('shows the fingerprint of the department that the program shows', async () => {
    const printed = shell(blocks()[2]!).slice(0, 20).toUpperCase();
    const { departmentFingerprint } = await check(bag);
    expect(printed).toBe(departmentFingerprint.replaceAll(' ', ''));
    expect(readme()).toContain(departmentFingerprint);
  });

  it('shows another fingerprint where the key in it was exchanged', () => {
    const path = copied((at) => {
      shell('openssl genpkey -algorithm ed25519 | openssl pkey -pubout > seal/department.pem', at);
    });
    const fingerprint = /\d{4}(?: [0-9A-F]{4}){4}|(?:[0-9A-F]{4} ){4}[0-9A-F]{4}/.exec(readme())?.[0] ?? '';
    const printed = shell(blocks()[2]!, path).slice(0, 20).toUpperCase();
    expect(fingerprint).not.toBe('');
    expect(printed).toMatch(/^[0-9A-F]{20}$/);
    expect(printed).not.toBe(fingerprint.replaceAll(' ', ''));
  });

  it('has every object named by its hash, and every signature verified', () => {
    const output = shell(blocks()[3]!);
    expect(output).toMatch(/^good\n/);
    expect(output).not.toContain('BAD');
    const signatures = readdirSync(join(bag, 'data/signatures')).length;
    expect(output.match(/Signature Verified Successfully/g)).toHaveLength(signatures);
    expect(signatures).toBeGreaterThan(5);
  });

  it('shows a changed signature and a changed object as bad in the same way', () => {
    const path = copied((at) => {
      const name = readdirSync(join(at, 'data/signatures'))[0]!;
      const bytes = readFileSync(join(at, 'data/signatures', name));
      bytes[5]! ^= 1;
      writeFileSync(join(at, 'data/signatures', name), bytes);
    });
    expect(shell(`${blocks()[3]!} 2>&1`, path)).toContain('is BAD');
    expect(shell(`${blocks()[0]!} 2>&1`, path)).not.toMatch(/^good$/m);
  });
});

describe('checkDeposit', () => {
  it.each([
    ['a PDF changed', (at: string) => appendFileSync(join(at, 'data/record.pdf'), ' '), 'bag-file-changed'],
    ['a file added', (at: string) => writeFileSync(join(at, 'data/extra.txt'), 'x'), 'bag-file-not-listed'],
    ['a file removed', (at: string) => unlinkSync(join(at, 'data/record.pdf')), 'bag-file-missing'],
    [
      'the list changed to fit',
      (at: string) => {
        writeFileSync(join(at, 'data/record.pdf'), 'forged');
        const list = readFileSync(join(at, 'manifest-sha512.txt'), 'utf8');
        const hash = shell('sha512sum < data/record.pdf', at).slice(0, 128);
        writeFileSync(
          join(at, 'manifest-sha512.txt'),
          list.replace(/[0-9a-f]{128}(?= {2}data\/record\.pdf)/, hash),
        );
        const tags = readFileSync(join(at, 'tagmanifest-sha512.txt'), 'utf8');
        const tag = shell('sha512sum < manifest-sha512.txt', at).slice(0, 128);
        writeFileSync(
          join(at, 'tagmanifest-sha512.txt'),
          tags.replace(/[0-9a-f]{128}(?= {2}manifest-sha512)/, tag),
        );
      },
      'seal-of-other-files',
    ],
    [
      'the seal of another key',
      (at: string) => {
        const seal = JSON.parse(readFileSync(join(at, 'seal/checkpoint.json'), 'utf8')) as {
          signature: string;
        };
        const text = JSON.stringify({ ...seal, signature: 'ab'.repeat(64) });
        writeFileSync(join(at, 'seal/checkpoint.json'), text);
      },
      'seal-broken',
    ],
    [
      'a key for people that is not the one in the statement',
      (at: string) =>
        shell(
          'openssl genpkey -algorithm ed25519 | openssl pkey -pubout > seal/department.pem; rm tagmanifest-sha512.txt',
          at,
        ),
      'seal-file-differs',
    ],
    [
      'a signature for people that is not the one in the statement',
      (at: string) => {
        writeFileSync(join(at, 'seal/checkpoint.sig'), Buffer.alloc(64));
        unlinkSync(join(at, 'tagmanifest-sha512.txt'));
      },
      'seal-file-differs',
    ],
    [
      'another BagIt version',
      (at: string) => writeFileSync(join(at, 'bagit.txt'), 'BagIt-Version: 9.9\n'),
      'bag-declaration',
    ],
  ])('finds %s', async (_, act, code) => {
    const report = await check(copied(act));
    expect(report.isSound).toBe(false);
    expect(report.findings.map((finding) => finding.code)).toContain(code);
    expect(report.findings.every((finding) => finding.sentence.endsWith('.'))).toBe(true);
  });

  it('doubts a file beside the payload that nobody signed for, and names it', async () => {
    const report = await check(copied((at) => writeFileSync(join(at, 'OPEN-ME-FIRST.html'), '<script>')));
    expect(report.isSound).toBe(true);
    expect(report.findings).toMatchObject([
      { severity: 'doubtful', code: 'bag-file-strange', place: 'the file OPEN-ME-FIRST.html' },
    ]);
  });

  it('refuses links', async () => {
    const path = copied((at) => {
      unlinkSync(join(at, 'data/record.pdf'));
      symlinkSync('/etc/hostname', join(at, 'data/record.pdf'));
    });
    const result = await checkDeposit(path);
    expect(result.ok ? 'ok' : result.error.code).toBe('package-link');
  });

  it('says what is missing to be a deposit', async () => {
    const path = copied((at) => unlinkSync(join(at, 'data', bundleFileName)));
    const result = await checkDeposit(path);
    expect(result).toMatchObject({
      ok: false,
      error: { code: 'package-incomplete', facts: { name: `data/${bundleFileName}` } },
    });
  });
});

describe('a class deposited together', () => {
  it('is checked bag by bag, and one that is damaged spoils no other', async () => {
    const year = join(folder, 'year');
    for (const name of ['fennel', 'sorrel', 'yarrow']) cpSync(bag, join(year, name), { recursive: true });
    const sound = await check(year);
    expect(sound.findings).toEqual([]);
    expect(sound.checked[0]).toEqual({ what: 'deposits', count: 3 });
    expect(sound.departmentFingerprint).toMatch(/^([0-9A-F]{4} ?){5}$/);
    appendFileSync(join(year, 'sorrel/data/record.pdf'), ' ');
    unlinkSync(join(year, 'yarrow/data', bundleFileName));
    const report = await check(year);
    expect(report.isSound).toBe(false);
    expect(report.findings.map(({ place }) => place)).toEqual([
      'sorrel: the file data/record.pdf',
      'sorrel: the file bag-info.txt',
      // Without the seal nothing vouches for the excerpt of the trail being complete.
      'sorrel: the audit trail',
      'yarrow: the deposit as a whole',
    ]);
    expect(report.trustworthy).toBe(
      '1 of 3 deposits are as they were deposited. Not in order: sorrel, yarrow.',
    );
  });
});

describe('writeFolder', () => {
  it('leaves nothing behind when it fails half-way', async () => {
    const target = join(folder, 'half');
    async function* failing() {
      yield { path: 'data/a.txt', data: new Uint8Array(3) };
      await Promise.resolve();
      throw new Error('disk full');
    }
    await expect(writeFolder(target, failing())).rejects.toThrow('disk full');
    expect(existsSync(target) || existsSync(`${target}.part`)).toBe(false);
  });

  it('does not write into a folder that is there', async () => {
    const target = join(folder, 'there');
    mkdirSync(target);
    writeFileSync(join(target, 'mine.txt'), 'mine');
    await expect(writeFolder(target, files())).rejects.toThrow(/EEXIST/);
    expect(readFileSync(join(target, 'mine.txt'), 'utf8')).toBe('mine');
    expect(existsSync(`${target}.part`)).toBe(false);
  });
});

/** Cases of RFC 8493 and of the public conformance suite's list that apply to 1.0, made by hand. */
describe('validateBag', () => {
  const sha512 = (text: string): string =>
    execFileSync('sha512sum', { input: text, encoding: 'utf8' }).slice(0, 128);
  const declaration = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n';
  const good = (changes: Readonly<Record<string, string | null>> = {}): Record<string, string> => {
    const all: Record<string, string | null> = {
      'bagit.txt': declaration,
      'data/hello.txt': 'hello\n',
      'manifest-sha512.txt': `${sha512('hello\n')}  data/hello.txt\n`,
      ...changes,
    };
    return Object.fromEntries(
      Object.entries(all).filter((pair): pair is [string, string] => pair[1] !== null),
    );
  };
  const codesOf = async (bagFiles: Record<string, string>): Promise<readonly string[]> => {
    const faults = await validateBag({
      names: Object.keys(bagFiles),
      read: (name) => Promise.resolve(new TextEncoder().encode(bagFiles[name])),
    });
    return faults.map((fault) => fault.code);
  };
  const hello = sha512('hello\n');

  it.each<[string, Record<string, string>]>([
    ['a basic bag', good()],
    ['line ends of Windows', good({ 'bagit.txt': declaration.replaceAll('\n', '\r\n') })],
    ['upper-case checksums', good({ 'manifest-sha512.txt': `${hello.toUpperCase()}  data/hello.txt\n` })],
    ['the binary mark of sha512sum', good({ 'manifest-sha512.txt': `${hello} *data/hello.txt\n` })],
    [
      'a percent-encoded line end in a name',
      good({
        'data/hello.txt': null,
        'data/a\nb.txt': 'hello\n',
        'manifest-sha512.txt': `${hello}  data/a%0Ab.txt\n`,
      }),
    ],
    ['an empty payload', good({ 'data/hello.txt': null, 'manifest-sha512.txt': '' })],
    [
      'two manifests that both list everything',
      good({ 'manifest-md5.txt': 'b1946ac92492d2347c6235b4d2611184  data/hello.txt\n' }),
    ],
    ['a right Payload-Oxum', good({ 'bag-info.txt': 'Payload-Oxum: 6.1\n' })],
  ])('accepts %s', async (_, bagFiles) => {
    expect(await codesOf(bagFiles)).toEqual([]);
  });

  it.each<[string, Record<string, string>, string]>([
    ['no bagit.txt', good({ 'bagit.txt': null }), 'bag-declaration'],
    ['a byte order mark', good({ 'bagit.txt': `\ufeff${declaration}` }), 'bag-declaration'],
    [
      'white space before the colon',
      good({ 'bagit.txt': declaration.replace(':', ' :') }),
      'bag-declaration',
    ],
    ['another encoding', good({ 'bagit.txt': declaration.replace('UTF-8', 'UTF-16') }), 'bag-declaration'],
    ['a further line in bagit.txt', good({ 'bagit.txt': `${declaration}Extra: 1\n` }), 'bag-declaration'],
    ['no manifest', good({ 'manifest-sha512.txt': null }), 'bag-manifest-missing'],
    ['a wrong checksum', good({ 'data/hello.txt': 'hallo\n' }), 'bag-file-changed'],
    ['a file not listed', good({ 'data/more.txt': 'x' }), 'bag-file-not-listed'],
    ['a file not there', good({ 'data/hello.txt': null }), 'bag-file-missing'],
    ['a second manifest that leaves one out', good({ 'manifest-md5.txt': '' }), 'bag-file-not-listed'],
    [
      'a name twice',
      good({ 'manifest-sha512.txt': `${hello}  data/hello.txt\n`.repeat(2) }),
      'bag-path-twice',
    ],
    [
      'a path that climbs out',
      good({ 'manifest-sha512.txt': `${hello}  data/../../hello.txt\n` }),
      'bag-unsafe-path',
    ],
    ['an absolute path', good({ 'manifest-sha512.txt': `${hello}  /data/hello.txt\n` }), 'bag-unsafe-path'],
    ['a home path', good({ 'manifest-sha512.txt': `${hello}  ~/hello.txt\n` }), 'bag-unsafe-path'],
    [
      'a tag file in a payload manifest',
      good({ 'manifest-sha512.txt': `${hello}  bagit.txt\n` }),
      'bag-unsafe-path',
    ],
    ['a line without a path', good({ 'manifest-sha512.txt': `${hello}\n` }), 'bag-manifest-line'],
    [
      'an algorithm nobody knows',
      good({ 'manifest-rot13.txt': `${hello}  data/hello.txt\n` }),
      'bag-manifest-line',
    ],
    ['a wrong Payload-Oxum', good({ 'bag-info.txt': 'Payload-Oxum: 7.1\n' }), 'bag-size'],
    ['a changed tag file', good({ 'tagmanifest-sha512.txt': `${hello}  bagit.txt\n` }), 'bag-file-changed'],
    [
      'a tag file that is gone',
      good({ 'tagmanifest-sha512.txt': `${hello}  bag-info.txt\n` }),
      'bag-file-missing',
    ],
  ])('refuses %s', async (_, bagFiles, code) => {
    expect(await codesOf(bagFiles)).toContain(code);
  });

  it.each([
    ['data/a.txt', true],
    ['..', false],
    ['data/..', false],
    ['data//a', false],
    ['./data/a', false],
    ['C:data', false],
    ['\\\\server\\share', false],
    ['~root/a', false],
    ['', false],
    ['data/a\0b', false],
  ])('judges the path %j', (path, isSafe) => {
    expect(isSafePath(path)).toBe(isSafe);
  });
});
