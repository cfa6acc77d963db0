import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundleFileName, bundleOfEntries, bundleText, readBundle } from '../../../core/record/bundle.ts';
import { domainHash } from '../../../core/record/domain.ts';
import { checkFile, checkPdf } from '../../../electron/check/check-file.ts';
import { pdfLimits, readPdfAttachments } from '../../../electron/check/read-pdf.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import { sampleNotebook, type PaperNotebook } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { printedPdf } from './printed-pdf.ts';

let notebook: PaperNotebook;
let text: string;
let pdf: Uint8Array;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-pdf-test-'));
  notebook = sampleNotebook(sampleContent).notebook;
  text = bundleText(bundleOfEntries(notebook.read, new Set(['e1'])));
  pdf = await printedPdf(text);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const pinned = () => ({ pinnedKey: notebook.department.publicKey });
const codeOf = (result: { ok: boolean; error?: { code: string } }): string => result.error?.code ?? 'ok';

/** A PDF made by another program, with files attached under these names. */
async function otherPdf(files: readonly { name: string; data: Uint8Array }[]): Promise<Uint8Array> {
  const document = await PDFDocument.create();
  document.addPage();
  for (const { name, data } of files) await document.attach(data, name, { mimeType: 'application/json' });
  return document.save();
}
const bytes = (source: string): Uint8Array => new TextEncoder().encode(source);

describe('checkPdf', () => {
  it('confirms an entry with nothing but the PDF and the department’s key', async () => {
    const path = join(folder, 'entry.pdf');
    writeFileSync(path, pdf);
    const result = await checkFile(path, pinned());
    expect(result.ok && result.value.isSound).toBe(true);
    if (!result.ok) return;
    expect(result.value.findings.map((finding) => finding.code)).toEqual([
      'attachment-not-here',
      'attachment-not-here',
      'excerpt',
      'pdf-seal-none',
    ]);
    expect(result.value.checked).toContainEqual({ what: 'signatures', count: 4 });
    expect(result.value.trustworthy).toContain(
      'Every version in this file is as it was signed by people the department certified.',
    );
  });

  it('carries what an ordinary tool takes out and hashes (pdfdetach)', () => {
    const path = join(folder, 'detach.pdf');
    const out = join(folder, 'detached.json');
    writeFileSync(path, pdf);
    execFileSync('pdfdetach', ['-savefile', bundleFileName, '-o', out, path]);
    expect(readFileSync(out, 'utf8')).toBe(text);
  });

  it('finds the department replaced', async () => {
    const result = await checkPdf(pdf, { pinnedKey: 'ab'.repeat(32) });
    expect(result.ok && result.value.isSound).toBe(false);
  });

  it('finds a changed value inside, with and without its hash made to fit', async () => {
    const bundle = readBundle(text);
    if (!bundle.ok) throw new Error('unreadable');
    const [first, ...rest] = bundle.value.versions;
    const changed = first!.bytes.replace('"134"', '"139"');
    expect(changed).not.toBe(first!.bytes);
    for (const hash of [first!.hash, domainHash(recordCrypto, 'version', changed)]) {
      const forged = bundleText({
        ...bundle.value,
        versions: [{ ...first!, bytes: changed, hash }, ...rest],
      });
      const result = await checkPdf(
        await otherPdf([{ name: bundleFileName, data: bytes(forged) }]),
        pinned(),
      );
      expect(result.ok && result.value.isSound).toBe(false);
      expect(result.ok && result.value.findings[0]?.place).toMatch(/^entry 1 of/);
    }
  });

  it.each([
    ['no attachment', [], 'no-record-inside'],
    ['another attachment', [{ name: 'other.json', data: bytes('{}') }], 'no-record-inside'],
    [
      'two of our name',
      [
        { name: bundleFileName, data: bytes('{}') },
        { name: bundleFileName, data: bytes('{}') },
      ],
      'two-records-inside',
    ],
    ['text that is no JSON', [{ name: bundleFileName, data: bytes('hello') }], 'not-json'],
    ['text that is not UTF-8', [{ name: bundleFileName, data: Uint8Array.of(0xff, 0xfe, 0x7b) }], 'not-utf8'],
    [
      'a byte order mark',
      [{ name: bundleFileName, data: Uint8Array.of(0xef, 0xbb, 0xbf, 0x7b, 0x7d) }],
      'not-json',
    ],
    ['other JSON', [{ name: bundleFileName, data: bytes('{}') }], 'wrong-shape'],
    [
      'a newer format',
      [{ name: bundleFileName, data: bytes('{"format":2,"type":"bundle"}') }],
      'format-newer',
    ],
    ['JSON in another layout', [{ name: bundleFileName, data: bytes('{ }') }], 'not-canonical'],
  ])('refuses a PDF with %s', async (_, files, code) => {
    expect(codeOf(await checkPdf(await otherPdf(files), pinned()))).toBe(code);
  });

  it.each([
    ['nothing', new Uint8Array()],
    ['noise', new Uint8Array(2000).fill(0x41)],
    ['a header and no more', bytes('%PDF-1.7\n')],
  ])('refuses %s', async (_, data) => {
    expect(['not-a-pdf', 'no-record-inside']).toContain(codeOf(await checkPdf(data)));
  });

  it('reads any PDF cut short, or with a byte changed, without throwing and without a false “sound”', async () => {
    for (let cut = 0; cut < pdf.length; cut += Math.ceil(pdf.length / 25)) {
      const result = await checkPdf(pdf.slice(0, cut), pinned());
      expect(result.ok && result.value.isSound).toBe(false);
    }
    let isUntouched = 0;
    for (let place = 0; place < pdf.length; place += Math.ceil(pdf.length / 60)) {
      const copy = Uint8Array.from(pdf);
      copy[place]! ^= 1;
      const result = await checkPdf(copy, pinned());
      // A byte that is neither in the record nor in what the pages say leaves both unchanged.
      if (!result.ok || !result.value.isSound) continue;
      const inside = await readPdfAttachments(copy);
      expect(inside.ok && new TextDecoder().decode(inside.value[0]?.data)).toBe(text);
      isUntouched += 1;
    }
    expect(isUntouched).toBeGreaterThan(0);
  }, 240_000);

  it('stops unpacking an attachment that grows beyond the limit', async () => {
    const document = await PDFDocument.create();
    document.addPage();
    await document.attach(bytes('{}'), bundleFileName);
    const saved = await PDFDocument.load(await document.save({ useObjectStreams: false }));
    const zeros = deflateSync(Buffer.alloc(pdfLimits.attachment + 1));
    for (const [ref, object] of saved.context.enumerateIndirectObjects()) {
      if (!(object instanceof PDFRawStream)) continue;
      if (object.dict.lookup(PDFName.of('Type')) === PDFName.of('EmbeddedFile')) {
        saved.context.assign(
          ref,
          saved.context.stream(zeros, { Type: 'EmbeddedFile', Filter: 'FlateDecode' }),
        );
      }
    }
    const bomb = await saved.save({ useObjectStreams: false });
    expect(bomb.length).toBeLessThan(1_000_000);
    expect(codeOf(await checkPdf(bomb))).toBe('attachment-too-large');
  }, 60_000);

  it('is not caught in a name tree that runs in a circle', async () => {
    const document = await PDFDocument.create();
    document.addPage();
    const node = document.context.obj({});
    const ref = document.context.register(node);
    node.set(PDFName.of('Kids'), document.context.obj([ref, ref]));
    document.catalog.set(PDFName.of('Names'), document.context.obj({ EmbeddedFiles: ref }));
    expect(codeOf(await checkPdf(await document.save()))).toBe('not-a-pdf');
  });
});
