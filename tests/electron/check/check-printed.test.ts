import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { PDFArray, PDFDocument, PDFName, PDFRawStream, PDFRef, type PDFPage } from 'pdf-lib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckFinding } from '../../../core/contract/views.ts';
import { checkPdf } from '../../../electron/check/check-file.ts';
import { readPrintedPages } from '../../../electron/check/printed/read-pages.ts';
import { bindToPdf } from '../../../electron/worker/bind-to-pdf.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { openDesk, type Desk } from '../services/open-desk.ts';

let desk: Desk;
let folder: string;
let recordId: string;
let entryId: string;
let record: Uint8Array;
let entry: Uint8Array;

const at = '2027-03-20T10:00:00.000Z';
const watch = { onProgress: () => undefined, signal: new AbortController().signal };
const bind = async (
  what: { recordId: string } | { entryId: string },
  who: 'Ada' | 'Dr Moss' = 'Dr Moss',
): Promise<Uint8Array> => {
  const base = {
    path: desk.path,
    person: desk.people.get(who)!,
    at,
    offsetMinutes: 60,
    sealWith: null,
  };
  const kind = 'recordId' in what ? ('record-pdf' as const) : ('entry-pdf' as const);
  return (await bindToPdf({ kind, ...what, ...base } as never, watch)).bytes;
};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-printed-test-'));
  desk = await openDesk('IPC');
  await desk.begin();
  recordId = await desk.record();
  for (const title of ['First preparation', 'Second preparation']) {
    const { id } = await desk.entry('Ada', recordId, sampleContent({ title, stepRecords: [], notes: [] }));
    await desk.sign('Ada', id);
    // Somebody who signs nothing: their initials stand beside the comment and nowhere with the name.
    const lind = await desk.as('Dr Lind');
    await lind.get('comment.add', { entryId: id, section: 'aim', anchor: null, text: 'A clear aim.' });
    await desk.countersign('Dr Moss', id);
    entryId = id;
  }
  record = await bind({ recordId });
  entry = await bind({ entryId });
}, 120_000);
afterAll(async () => {
  await desk.close();
  rmSync(folder, { recursive: true, force: true });
});

async function findingsOf(bytes: Uint8Array): Promise<readonly CheckFinding[]> {
  const result = await checkPdf(bytes);
  if (!result.ok) throw new Error(result.error.code);
  const broken = result.value.findings.some((one) => one.severity === 'broken');
  expect(result.value.isSound).toBe(!broken);
  return result.value.findings;
}
const faults = async (bytes: Uint8Array): Promise<readonly CheckFinding[]> =>
  (await findingsOf(bytes)).filter((one) => one.severity !== 'note');

/** Lets another program open, change and save a PDF. */
async function edited(bytes: Uint8Array, act: (document: PDFDocument) => void | Promise<void>) {
  const document = await PDFDocument.load(bytes, { updateMetadata: false });
  await act(document);
  return document.save({ useObjectStreams: false });
}

function qpdf(bytes: Uint8Array, ...options: readonly string[]): Uint8Array {
  const [from, to] = [join(folder, 'in.pdf'), join(folder, 'out.pdf')];
  writeFileSync(from, bytes);
  execFileSync('qpdf', [...options, from, to]);
  return readFileSync(to);
}

const contentOf = (page: PDFPage): string => {
  const contents = page.node.Contents();
  const streams = contents instanceof PDFArray ? contents.asArray() : [contents];
  return streams
    .map((one) => (one instanceof PDFRef ? page.doc.context.lookup(one) : one))
    .map((one) => (one instanceof PDFRawStream ? inflateSync(one.contents).toString('latin1') : ''))
    .join('\n');
};

/** Glyph numbers of the characters of a font, from its map to Unicode (ISO 32000-1 §9.10.3). */
function glyphsOf(page: PDFPage, font: string): ReadonlyMap<string, string> {
  const dict = page.node.Resources()?.lookup(PDFName.of('Font'));
  const one = (dict as never as { lookup(name: PDFName): { lookup(name: PDFName): unknown } }).lookup(
    PDFName.of(font),
  );
  const map = one.lookup(PDFName.of('ToUnicode')) as PDFRawStream;
  const text = inflateSync(map.contents).toString('latin1');
  const glyphs = new Map<string, string>();
  for (const [, from = '', list = ''] of text.matchAll(/<([0-9a-f]+)> <[0-9a-f]+> \[([^\]]*)\]/g)) {
    [...list.matchAll(/<([0-9a-f]*)>/g)].forEach(([, hex = ''], index) => {
      const glyph = (Number.parseInt(from, 16) + index).toString(16).padStart(4, '0');
      if (hex.length === 4) glyphs.set(String.fromCharCode(Number.parseInt(hex, 16)), glyph);
    });
  }
  return glyphs;
}

/** Prints another digit in the place of one, as somebody with an editor for PDF would. */
function changeDigit(document: PDFDocument): {
  readonly page: number;
  readonly from: string;
  readonly to: string;
} {
  for (const [index, page] of document.getPages().entries()) {
    if (index === 0) continue;
    const content = contentOf(page);
    for (const [whole, font = '', shown = ''] of content.matchAll(
      /\/(F\d+) [\d.]+ Tf[^T]*?(\[<[0-9a-f]+>[^\]]*\] TJ)/g,
    )) {
      const glyphs = glyphsOf(page, font);
      const digits = [...'123456789'].filter((digit) => glyphs.has(digit));
      for (const digit of digits) {
        const other = digits.find((one) => one !== digit);
        const glyph = glyphs.get(digit) ?? '';
        const place = shown.search(new RegExp(`(?<=<(?:[0-9a-f]{4})*)${glyph}`));
        if (other === undefined || place < 0) continue;
        const changed = shown.slice(0, place) + (glyphs.get(other) ?? '') + shown.slice(place + 4);
        const text = content.replace(whole, whole.replace(shown, changed));
        page.node.set(PDFName.of('Contents'), document.context.register(document.context.flateStream(text)));
        return { page: index, from: digit, to: other };
      }
    }
  }
  throw new Error('no digit is printed');
}

describe('the printed pages of a PDF are held against the data inside', () => {
  it('finds nothing in a bound record, an entry, and one bound while drafts were open', async () => {
    expect(await faults(record)).toEqual([]);
    expect(await faults(entry)).toEqual([]);
    const { id } = await desk.entry('Ada', recordId, sampleContent({ title: 'Not yet signed' }));
    // Only she sees her draft.
    const early = await bind({ recordId }, 'Ada');
    expect(await faults(early)).toEqual([]);
    expect((await findingsOf(early)).map((one) => one.code)).toContain('pdf-part-draft');
    // The draft goes, so that the others are bound as before.
    const ada = await desk.as('Ada');
    await ada.get('entry.strike-out', { entryId: id, reason: 'Begun by mistake.' });
  }, 60_000);

  it('says how many pages it compared', async () => {
    const result = await checkPdf(record);
    const { pages } = await readPrintedPages(record);
    expect(pages.length).toBeGreaterThan(6);
    expect(result.ok && result.value.checked).toContainEqual({
      what: 'printed pages held against the data',
      count: pages.length,
    });
  });

  it('does not mind another program that only saved it', async () => {
    expect(await faults(await edited(record, () => undefined))).toEqual([]);
    expect(await faults(qpdf(record, '--linearize'))).toEqual([]);
    expect(await faults(qpdf(record, '--object-streams=generate', '--recompress-flate'))).toEqual([]);
  });

  it('finds one printed digit changed, and names the page and the words', async () => {
    let change: ReturnType<typeof changeDigit> | null = null;
    const forged = await edited(record, (document) => void (change = changeDigit(document)));
    const [first, ...others] = await faults(forged);
    expect(others).toEqual([]);
    expect(first).toMatchObject({
      severity: 'broken',
      code: 'pdf-text-differs',
      place: `page ${change!.page + 1} of this PDF`,
    });
    expect(first?.sentence).toMatch(/Printed: “.*\d.*”\. According to the data: “.*\d.*”/);
  });

  it('finds the same after the file was taken apart and written out plainly (qpdf --qdf)', async () => {
    let change: ReturnType<typeof changeDigit> | null = null;
    const forged = await edited(entry, (document) => void (change = changeDigit(document)));
    const [first] = await faults(qpdf(forged, '--qdf', '--object-streams=disable'));
    expect(first).toMatchObject({ code: 'pdf-text-differs', place: `page ${change!.page + 1} of this PDF` });
  });

  it('finds two pages that changed places', async () => {
    const swapped = await edited(record, (document) => {
      const page = document.getPage(2);
      document.removePage(2);
      document.insertPage(3, page);
    });
    const [first] = await faults(swapped);
    expect(first).toMatchObject({ code: 'pdf-text-differs', place: 'page 3 of this PDF' });
  });

  it('finds a page added, and one taken out', async () => {
    const added = await edited(record, (document) =>
      document.addPage().drawText('Yield 99 %', { x: 80, y: 500 }),
    );
    const count = (await readPrintedPages(record)).pages.length;
    expect((await faults(added))[0]).toMatchObject({
      code: 'pdf-page-added',
      place: `page ${count + 1} of this PDF`,
    });
    const shorter = await edited(record, (document) => document.removePage(4));
    expect((await faults(shorter))[0]).toMatchObject({
      code: 'pdf-text-differs',
      place: 'page 5 of this PDF',
    });
  });

  it('finds words added to a page, and words covered or taken away', async () => {
    const added = await edited(record, (document) =>
      document.getPage(3).drawText('Yield 99 %', { x: 80, y: 500 }),
    );
    expect((await faults(added))[0]).toMatchObject({ code: 'pdf-text-differs', place: 'page 4 of this PDF' });
    expect((await faults(added))[0]?.sentence).toContain('99');
    const covered = await edited(record, (document) =>
      document.getPage(3).drawRectangle({ x: 60, y: 400, width: 400, height: 200 }),
    );
    // The words are still there; that something lies over them shows in what is drawn.
    expect(await faults(covered)).toMatchObject([
      { severity: 'doubtful', code: 'pdf-drawn-otherwise', place: 'page 4 of this PDF' },
    ]);
    const emptied = await edited(record, (document) =>
      document
        .getPage(3)
        .node.set(PDFName.of('Contents'), document.context.register(document.context.flateStream(''))),
    );
    expect((await faults(emptied))[0]).toMatchObject({
      code: 'pdf-text-differs',
      place: 'page 4 of this PDF',
    });
  });

  it('takes the pages of another record for what they are', async () => {
    const own = await PDFDocument.load(entry, { updateMetadata: false });
    const other = await edited(record, async (document) => {
      const [page] = await document.copyPages(own, [0]);
      document.removePage(2);
      document.insertPage(2, page);
    });
    expect((await faults(other))[0]).toMatchObject({ severity: 'broken', place: 'page 3 of this PDF' });
  });

  it('holds pages that say they come from another version against the data loosely, and says so', async () => {
    const claim = (document: PDFDocument): void => document.setCreator('Fairleaf 0.0.1');
    expect(await faults(await edited(record, claim))).toEqual([]);
    // However well the words agree, a file that claims another version never passes without a word.
    expect((await findingsOf(await edited(record, claim))).map((one) => one.code)).toContain(
      'pdf-only-words-compared',
    );
    const forged = await edited(record, (document) => {
      claim(document);
      changeDigit(document);
    });
    expect((await faults(forged))[0]).toMatchObject({ severity: 'doubtful', code: 'pdf-text-other-version' });
  });
});
