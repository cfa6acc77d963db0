import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundleFileName, bundleOfEntries, bundleText, readBundle } from '../../../core/record/bundle.ts';
import { checkHandIn, readHandIn, statementName, writeHandIn } from '../../../electron/archive/hand-in.ts';
import { zipLimits } from '../../../electron/archive/zip-read.ts';
import { zipBytes, type ArchiveFile } from '../../../electron/archive/zip-write.ts';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sampleNotebook, type PaperNotebook, type TestPerson } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';

let notebook: PaperNotebook;
let ada: TestPerson;
let ben: TestPerson;
let handIn: Uint8Array;
let folder: string;
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

async function write(entries: readonly string[] = ['e1'], sender = ada): Promise<Uint8Array> {
  const written = await writeHandIn(
    bundleOfEntries(notebook.read, new Set(entries)),
    notebook.tables['attachment']!.map((row) => ({
      sha256: String(row['sha256']),
      data: row['data'] as Uint8Array,
    })),
    {
      notebook: notebook.id,
      record: 'rec-a',
      eventSeq: notebook.head.seq,
      eventHead: notebook.head.hash,
      at: '2027-03-09T12:00:00.000Z',
      offsetMinutes: 60,
      signer: { person: sender.id, printedName: sender.printedName, role: sender.role },
      certificateHash: sender.certificateHash,
    },
    sender.key.sign,
  );
  return written.bytes;
}
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-hand-in-test-'));
  ({ notebook, ada, ben } = sampleNotebook(sampleContent));
  handIn = await write();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const pinned = () => ({ pinnedKey: notebook.department.publicKey });
const codeOf = async (source: Uint8Array | string): Promise<string> => {
  const read = await readHandIn(source);
  return read.ok ? 'ok' : read.error.code;
};
async function contents(): Promise<ArchiveFile[]> {
  const read = await readHandIn(handIn);
  if (!read.ok) throw new Error(read.error.code);
  const { bundle, checkpoint, attachments } = read.value;
  return [
    { path: statementName, data: bytes(JSON.stringify({ checkpoint, format: 1, type: 'hand-in' })) },
    { path: bundleFileName, data: bytes(bundleText(bundle)) },
    ...attachments.map(({ sha256, data }) => ({ path: `attachments/${sha256}`, data })),
  ];
}

describe('a hand-in', () => {
  it('is read and checked on another computer, with its attachments', async () => {
    const path = join(folder, 'entry.zip');
    writeFileSync(path, handIn);
    const report = await checkFile(path, pinned());
    expect(report.ok && report.value.isSound).toBe(true);
    expect(report.ok && report.value.findings.map((finding) => finding.code)).toEqual(['excerpt']);
    expect(report.ok && report.value.checked).toContainEqual({ what: 'attachments', count: 1 });
  });

  it('is the same file, byte for byte, when it is written again', async () => {
    expect(Buffer.from(await write()).equals(Buffer.from(handIn))).toBe(true);
  });

  it('is a plain zip to other programs (python)', () => {
    const path = join(folder, 'plain.zip');
    writeFileSync(path, handIn);
    const listed = execFileSync('python3', [
      '-c',
      'import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None; print("\\n".join(z.namelist()))',
      path,
    ]).toString();
    expect(listed).toContain('README.txt');
    expect(listed).toContain(bundleFileName);
  });

  it('holds nothing of other people’s entries and no drafts or keys', async () => {
    const read = await readHandIn(handIn);
    if (!read.ok) throw new Error(read.error.code);
    const text = bundleText(read.value.bundle);
    expect(text).not.toContain('Ben Sorrel');
    expect(text).not.toContain('sealed_key');
    expect(text).not.toContain('A. Fennel","number":2');
  });

  it('does not pass when its entries were changed, even with a bundle in good order', async () => {
    const files = await contents();
    const other = bytes(bundleText(bundleOfEntries(notebook.read, new Set(['e2']))));
    const swapped = await zipBytes(
      files.map((file) => (file.path === bundleFileName ? { ...file, data: other } : file)),
    );
    const read = await readHandIn(swapped);
    if (!read.ok) throw new Error(read.error.code);
    const report = await checkHandIn(read.value, pinned());
    expect(report.isSound).toBe(false);
    expect(report.findings.map((finding) => finding.code)).toEqual(
      expect.arrayContaining(['hand-in-changed', 'hand-in-of-others']),
    );
  });

  it('does not pass with a statement signed by another key', async () => {
    const mixed = await write(['e1'], { ...ada, key: ben.key });
    const read = await readHandIn(mixed);
    if (!read.ok) throw new Error(read.error.code);
    const report = await checkHandIn(read.value, pinned());
    expect(report.isSound).toBe(false);
    expect(report.findings.map((finding) => finding.code)).toContain('checkpoint-forged');
  });

  it('does not pass with an attachment changed', async () => {
    const files = (await contents()).map((file) =>
      file.path.startsWith('attachments/') ? { ...file, data: bytes('0,99\n') } : file,
    );
    const read = await readHandIn(await zipBytes(files));
    if (!read.ok) throw new Error(read.error.code);
    expect((await checkHandIn(read.value, pinned())).isSound).toBe(false);
  });

  it('never passes with a byte changed, wherever it is', async () => {
    const read = await readHandIn(handIn);
    if (!read.ok) throw new Error(read.error.code);
    const original = bundleText(read.value.bundle);
    for (let place = 0; place < handIn.length; place += Math.ceil(handIn.length / 150)) {
      const copy = Uint8Array.from(handIn);
      copy[place]! ^= 1;
      const changed = await readHandIn(copy);
      if (!changed.ok) continue;
      const report = await checkHandIn(changed.value, pinned());
      // A byte of the zip's own dates or of the README changes nothing that is handed in.
      if (report.isSound) expect(bundleText(changed.value.bundle)).toBe(original);
    }
  });
});

/** Packages made by python's zipfile, which writes what our own writer never would. */
function pythonZip(script: string): Uint8Array {
  const path = join(folder, `made-${Math.floor(performance.now() * 1000)}.zip`);
  execFileSync('python3', [
    '-c',
    `import zipfile, sys, warnings\nwarnings.simplefilter('ignore')\np = sys.argv[1]\n${script}`,
    path,
  ]);
  return readFileSync(path);
}

describe('a package from outside', () => {
  it.each([
    ['nothing', new Uint8Array(), 'package-damaged'],
    ['noise', new Uint8Array(1000).fill(7), 'package-damaged'],
    ['a zip cut short', 'cut', 'package-damaged'],
  ])('is refused when it is %s', async (_, source, code) => {
    const data = source === 'cut' ? handIn.slice(0, handIn.length - 30) : (source as Uint8Array);
    expect(await codeOf(data)).toBe(code);
  });

  it.each([
    ['a path that climbs out', `zipfile.ZipFile(p, 'w').writestr('../evil.txt', 'x')`, 'package-unsafe-name'],
    ['an absolute path', `zipfile.ZipFile(p, 'w').writestr('/etc/evil', 'x')`, 'package-unsafe-name'],
    [
      'a drive letter',
      `z = zipfile.ZipFile(p, 'w')\ni = zipfile.ZipInfo('C:/evil')\nz.writestr(i, 'x')\nz.close()`,
      'package-unsafe-name',
    ],
    [
      'a backslash path',
      `i = zipfile.ZipInfo('x')\ni.filename = '..\\\\evil'\nz = zipfile.ZipFile(p, 'w')\nz.writestr(i, 'x')\nz.close()`,
      'package-unsafe-name',
    ],
    ['a file of another name', `zipfile.ZipFile(p, 'w').writestr('run.exe', 'x')`, 'package-unexpected-file'],
    ['a nested folder', `zipfile.ZipFile(p, 'w').writestr('attachments/', '')`, 'package-unexpected-file'],
    [
      'a nested zip',
      `zipfile.ZipFile(p, 'w').writestr('attachments/inner.zip', 'PK')`,
      'package-unexpected-file',
    ],
    [
      'one name twice',
      `z = zipfile.ZipFile(p, 'w')\nz.writestr('hand-in.json', '{}')\nz.writestr('hand-in.json', '{}')\nz.close()`,
      'package-name-twice',
    ],
    [
      'names that differ in case only',
      `z = zipfile.ZipFile(p, 'w')\nz.writestr('hand-in.json', '{}')\nz.writestr('Hand-In.json', '{}')\nz.close()`,
      'package-unexpected-file',
    ],
    [
      'a symbolic link',
      `i = zipfile.ZipInfo('hand-in.json')\ni.create_system = 3\ni.external_attr = 0o120777 << 16\nz = zipfile.ZipFile(p, 'w')\nz.writestr(i, '/etc/passwd')\nz.close()`,
      'package-link',
    ],
    ['nothing inside', `zipfile.ZipFile(p, 'w').close()`, 'package-incomplete'],
    ['the statement missing', `zipfile.ZipFile(p, 'w').writestr('README.txt', 'x')`, 'package-incomplete'],
    ['a statement that is no JSON', `zipfile.ZipFile(p, 'w').writestr('hand-in.json', 'hello')`, 'not-json'],
    ['a statement of another kind', `zipfile.ZipFile(p, 'w').writestr('hand-in.json', '{}')`, 'wrong-shape'],
    [
      'a statement that reaches for the prototype',
      `zipfile.ZipFile(p, 'w').writestr('hand-in.json', '{"__proto__":{"isSound":true},"type":"hand-in"}')`,
      'forbidden-key',
    ],
    ['bytes that are no text', `zipfile.ZipFile(p, 'w').writestr('hand-in.json', b'\\xff\\xfe')`, 'not-utf8'],
  ])('is refused with %s', async (_, script, code) => {
    expect(await codeOf(pythonZip(script))).toBe(code);
  });

  it('is refused when it unpacks to far more than it weighs', async () => {
    const bomb = pythonZip(
      `z = zipfile.ZipFile(p, 'w', zipfile.ZIP_DEFLATED)\nz.writestr('${bundleFileName}', b'0' * 100_000_000)\nz.close()`,
    );
    expect(bomb.length).toBeLessThan(120_000);
    expect(await codeOf(bomb)).toBe('package-too-large');
  });

  it('is refused when an entry is longer than it says', async () => {
    const path = join(folder, 'liar.zip');
    execFileSync('python3', [
      '-c',
      `import zipfile, struct, sys
p = sys.argv[1]
z = zipfile.ZipFile(p, 'w', zipfile.ZIP_DEFLATED); z.writestr('hand-in.json', b' ' * 5_000_000); z.close()
b = bytearray(open(p, 'rb').read())
at = b.rfind(b'PK\\x01\\x02')
b[at + 24:at + 28] = struct.pack('<I', 10)
b[22:26] = struct.pack('<I', 10)
open(p, 'wb').write(b)`,
      path,
    ]);
    expect(await codeOf(path)).toBe('package-damaged');
  });

  it('is refused with more files than anyone hands in, without unpacking them', async () => {
    const many = pythonZip(
      `z = zipfile.ZipFile(p, 'w')\nfor i in range(${zipLimits.entries + 1}): z.writestr('attachments/%064x' % i, '')\nz.close()`,
    );
    const started = performance.now();
    expect(await codeOf(many)).toBe('package-too-many-files');
    expect(performance.now() - started).toBeLessThan(2000);
  });

  it('is refused with a million files before the first is looked at', async () => {
    // An empty zip whose end record claims 10⁶ entries (zip64 would be needed; 65,535 is its marker).
    const end = Buffer.alloc(22);
    end.writeUInt32LE(0x06054b50, 0);
    end.writeUInt16LE(60_000, 8);
    end.writeUInt16LE(60_000, 10);
    expect(await codeOf(end)).toBe('package-too-many-files');
  });

  it('is refused when its bundle is of a newer format or hides a changed prototype', async () => {
    const files = await contents();
    const withBundle = (text: string): Promise<Uint8Array> =>
      zipBytes(files.map((file) => (file.path === bundleFileName ? { ...file, data: bytes(text) } : file)));
    expect(await codeOf(await withBundle('{"format":2,"type":"bundle"}'))).toBe('format-newer');
    expect(await codeOf(await withBundle('{"__proto__":{},"format":1}'))).toBe('forbidden-key');
    expect(await codeOf(await withBundle('['.repeat(100_000) + ']'.repeat(100_000)))).toBe('nested-too-deep');
    expect(({} as { isSound?: boolean }).isSound).toBeUndefined();
  });

  it('is not followed through a link on the disk into anything but the file itself', async () => {
    const target = join(folder, 'target.zip');
    const link = join(folder, 'link.zip');
    writeFileSync(target, handIn);
    symlinkSync(target, link);
    expect(await codeOf(link)).toBe('ok');
  });
});

describe('readBundle', () => {
  it('reads what bundleOfEntries wrote', () => {
    const bundle = bundleOfEntries(notebook.read, new Set(['e1', 'e3']));
    expect(readBundle(bundleText(bundle))).toEqual({ ok: true, value: bundle });
  });

  it('carries neither drafts nor keys', () => {
    const bundle = bundleOfEntries(notebook.read, new Set(['e1', 'e2', 'e3', 'e4']));
    expect(new Set(bundle.rows.map(({ table }) => table))).toEqual(new Set(['record', 'entry', 'comment']));
  });
});
