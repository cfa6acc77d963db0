import { describe, expect, it } from 'vitest';
import { renderPdf } from '../../../electron/export/render-pdf.ts';
import type { Block, ReportDocument } from '../../../core/report/report-document.ts';
import {
  checkOf,
  detached,
  flatText,
  fontsOf,
  infoOf,
  inspect,
  pagesOf,
  structureText,
  wordsOf,
  type Word,
} from './read-pdf.ts';
import { entryPart, frontPart, hash, indexPart, m, sampleReport } from './sample-report.ts';

/** poppler and qpdf are the outside world here: they read what pdfmake wrote. */
const record = sampleReport({ title: 'Practical record', parts: [frontPart, indexPart, entryPart] });
const withBlocks = (blocks: readonly Block[]): ReportDocument =>
  sampleReport({ parts: [{ ...entryPart, blocks }], embedded: [] });
const paragraph = (text: string): Block => ({
  kind: 'paragraph',
  line: [{ text }],
  ink: 'student',
  mark: null,
});

describe('renderPdf', async () => {
  const bytes = await renderPdf(record);
  const text = flatText(bytes, '-layout');
  const seen = inspect(bytes);

  it('gives a file that qpdf finds nothing wrong with', () => {
    expect(checkOf(bytes)).toContain('No syntax or stream encoding errors found');
  });

  it('carries title, author and subject, and counts its pages', () => {
    const info = infoOf(bytes);
    expect(info).toMatch(/Title: +Practical record\n/);
    expect(info).toMatch(/Author: +Mira Ashdown\n/);
    expect(info).toMatch(/PDF version: +1\.7/);
    expect(info).toMatch(/Tagged: +yes/);
    expect(info).toMatch(new RegExp(`Pages: +${pagesOf(bytes).length}\n`));
  });

  it('embeds every font, with a map back to Unicode', () => {
    const rows = fontsOf(bytes).trim().split('\n').slice(2);
    expect(rows.length).toBeGreaterThan(3);
    for (const row of rows) expect(row).toMatch(/CID TrueType +Identity-H +yes yes yes/);
  });

  it('prints every section of the entry', () => {
    for (const heading of [
      'Aim',
      'Principle',
      'Requirements',
      'Hazards and precautions',
      'Reagents',
      'Procedure',
      'Observations',
      'Calculation',
      'Result',
      'Discussion',
      'Signatures',
    ]) {
      expect(text).toContain(heading);
    }
    for (const words of [
      'H314 Causes severe skin burns and eye damage.',
      'they do not replace the supplier’s safety data sheet',
      'Salicylic acid limits',
      'Deviation: cylinder read at 5.5 mL, not poured back.',
      'Temperature during steps 3 and 4',
      'Shares of the variance: balance 82 %; assay 18 %.',
      '“I carried out this work and this is my record of it.”',
      '12 March 2027, 10:40:51 (UTC)',
      'Dr Helen Ward',
    ]) {
      expect(flatText(bytes)).toContain(words);
    }
  });

  it('sets sub- and superscripts, arrows, Greek and the real minus as text that can be read back', () => {
    const flow = flatText(bytes);
    expect(flow).toContain('C7H6O3 + C4H6O3 → C9H8O4 + C2H4O2');
    expect(flow).toContain('H3PO4 ⇌ H2PO4− + H+');
    expect(flow).toContain('ξlim');
    expect(text).toContain('−2 %');
  });

  it('sets subscripts below and superscripts above the base line, about two thirds as high', async () => {
    const one = await renderPdf(
      withBlocks([{ kind: 'paragraph', ink: 'print', mark: null, line: m('n_{theo} 10^{−3} H_{2}SO_{4}') }]),
    );
    const words = wordsOf(one);
    const word = (text: string): Word => {
      const found = words.find((w) => w.text === text);
      if (found === undefined) throw new Error(`no word ${text}`);
      return found;
    };
    const height = (w: Word): number => w.yMax - w.yMin;
    const base = word('n');
    for (const script of [word('theo'), word('−3')]) {
      expect(height(script) / height(base)).toBeCloseTo(0.68, 2);
    }
    // Boxes are ascender to descender: smaller ones on the same base line would end higher and begin lower.
    expect(word('theo').yMax).toBeGreaterThan(base.yMax);
    expect(word('−3').yMin).toBeLessThan(base.yMin);
    expect(flatText(one)).toContain('ntheo 10−3 H2SO4');
  });

  it('leaves no character without a glyph', () => {
    expect(seen.glyphs).toBeGreaterThan(4000);
    expect(seen.missingGlyphs).toBe(0);
  });

  it('declares PDF/A-3b and has what that asks for, as far as can be seen without a validator', () => {
    expect(seen.xmp).toMatchObject({ part: '3', conformance: 'B', title: 'Practical record' });
    expect(seen.outputIntents).toEqual(['/GTS_PDFA1']);
    expect(seen.hasId).toBe(true);
    expect(Object.values(seen.fonts).every(Boolean)).toBe(true);
    // ISO 19005-3, 6.3.2: the Print flag set, Hidden, Invisible and NoView not.
    for (const { flags } of seen.annotations) expect(flags & 0b100111).toBe(0b100);
    expect(seen.xmp).toMatchObject({
      author: seen.info['Author'],
      subject: seen.info['Subject'],
      keywords: seen.info['Keywords'],
      producer: seen.info['Producer'],
      creator: seen.info['Creator'],
    });
  });

  it('is tagged: headings, tables, lists and drawings with words, and nothing outside the structure', () => {
    expect(seen.isMarked).toBe(true);
    expect(seen.language).toBe('en-GB');
    expect(seen.unmarkedGlyphs).toBe(0);
    expect(seen.structure).toMatchObject({ '/Document': 1, '/Sect': 3 });
    for (const kind of [
      '/H1',
      '/H2',
      '/P',
      '/L',
      '/LI',
      '/LBody',
      '/Table',
      '/TR',
      '/TH',
      '/TD',
      '/Figure',
      '/Note',
    ]) {
      expect(seen.structure[kind], kind).toBeGreaterThan(0);
    }
    const spoken = structureText(bytes);
    expect(spoken.indexOf('Certificate')).toBeLessThan(spoken.indexOf('"Index"'));
    expect(spoken.indexOf('"Aim"')).toBeLessThan(spoken.indexOf('"Discussion"'));
    expect(spoken).not.toContain('page 1 of');
  });

  it('has bookmarks for its parts, and for the sections of an entry under it', () => {
    expect(seen.outline.map(([title]) => title)).toEqual(['Certificate', 'Index', '3  Acetylsalicylic acid']);
    expect(seen.outline[2]?.[1]).toHaveLength(11);
  });

  it('prints header and footer with page n of m on every page, the entry’s own on its pages', () => {
    const pages = pagesOf(bytes);
    pages.forEach((page, index) => {
      expect(page).toContain(`page ${index + 1} of ${pages.length}`);
      expect(page).toContain('Practical record, spring term');
      if (index >= 2) {
        expect(page).toContain('Entry 3 · Acetylsalicylic acid');
        expect(page).toContain('fingerprint 3F9A 02C1 77BE D410 5C2E');
      }
    });
  });

  it('fills in the page numbers of the index and links its lines', () => {
    const page = pagesOf(bytes)[1] ?? '';
    expect(page).toMatch(/3 +9 March 2027 +Acetylsalicylic acid .* 8\/10 +3\n/);
    expect(seen.annotations.length).toBeGreaterThan(0);
  });

  it('keeps every word inside the page and its margins', () => {
    for (const word of wordsOf(bytes)) {
      expect(word.xMin, word.text).toBeGreaterThan(18);
      expect(word.xMax, word.text).toBeLessThan(595.28 - 44);
      expect(word.yMin, word.text).toBeGreaterThan(20);
      expect(word.yMax, word.text).toBeLessThan(841.89 - 20);
    }
  });

  it('gives the embedded file back byte for byte', () => {
    const [file] = record.embedded;
    expect(detached(bytes, 'entry.json').toString('utf8')).toBe(file?.text);
    expect(seen.files).toEqual([
      {
        name: 'entry.json',
        relationship: '/Data',
        mediaType: '/application/json',
        size: Buffer.byteLength(file?.text ?? ''),
        isChecksumRight: true,
        isAssociated: true,
      },
    ]);
  });

  it('gives the same bytes for the same document', async () => {
    const again = await renderPdf(
      sampleReport({ title: 'Practical record', parts: [frontPart, indexPart, entryPart] }),
    );
    expect(Buffer.compare(Buffer.from(again), Buffer.from(bytes))).toBe(0);
    const later = await renderPdf({ ...record, createdAt: '2027-03-12T10:42:00.000Z' });
    expect(Buffer.compare(Buffer.from(later), Buffer.from(bytes))).not.toBe(0);
  });
});

describe('renderPdf with every block at its smallest', () => {
  it('prints an odd number of facts, empty tables, lists and drawings', async () => {
    const bytes = await renderPdf(
      withBlocks([
        {
          kind: 'title',
          eyebrow: [],
          title: [],
          facts: [{ label: 'One', value: m('fact') }],
          stamp: null,
          fingerprint: null,
          figures: [],
        },
        {
          kind: 'facts',
          facts: [
            { label: 'Three', value: m('a') },
            { label: 'odd', value: m('b') },
            { label: 'facts', value: [] },
          ],
        },
        { kind: 'facts', facts: [] },
        { kind: 'heading', level: 2, number: '', line: m('Nothing') },
        { kind: 'list', items: [], columns: 2, ink: 'print', mark: null },
        {
          kind: 'table',
          density: 'normal',
          caption: null,
          columns: [{ head: [], align: 'left', share: 1 }],
          rows: [],
        },
        {
          kind: 'table',
          density: 'compact',
          caption: m('c'),
          columns: [{ head: m('h'), align: 'decimal', share: 1 }],
          rows: [[[]]],
        },
        {
          kind: 'spread',
          left: { head: '', columns: [{ head: [], align: 'left', share: 1 }] },
          foldHead: '',
          right: { head: '', columns: [{ head: [], align: 'left', share: 1 }] },
          rows: [],
        },
        { kind: 'reaction', equation: [], left: [], right: [], over: [], spoken: '' },
        { kind: 'chart', title: [], xLabel: '', yLabel: '', points: [], bands: [], spoken: '' },
        {
          kind: 'chart',
          title: [],
          xLabel: '',
          yLabel: '',
          points: [{ x: 0, y: 5, label: '', isOutside: true }],
          bands: [],
          spoken: 'one point',
        },
        { kind: 'working', title: [], lines: [], notes: [] },
        { kind: 'small-print', line: [] },
        { kind: 'notice', title: '', line: [] },
        { kind: 'index', rows: [] },
        { kind: 'heading', level: 3, number: '1', line: m('Last') },
      ]),
    );
    for (const word of ['One', 'fact', 'odd', 'Nothing', 'Last']) expect(flatText(bytes)).toContain(word);
    expect(checkOf(bytes)).toContain('No syntax');
    expect(inspect(bytes).missingGlyphs).toBe(0);
  });
});

describe('renderPdf with awkward text', () => {
  it('escapes titles for the XMP packet and keeps them as they are elsewhere', async () => {
    const title = 'A & B <script> "quoted" </rdf:li> ü';
    const bytes = await renderPdf(
      sampleReport({ title, author: 'R. & D. <x>', subject: 'a<b', keywords: 'p&q' }),
    );
    const seen = inspect(bytes);
    expect(seen.info['Title']).toBe(title);
    expect(seen.xmp).toMatchObject({
      title,
      author: 'R. & D. <x>',
      subject: 'a<b',
      keywords: 'p&q',
      part: '3',
    });
  });

  it('writes no empty title, and none with control characters', async () => {
    const seen = inspect(await renderPdf(sampleReport({ title: 'a\u0000b\nc', subject: '', keywords: '' })));
    expect(seen.info['Title']).toBe('a b c');
    expect(seen.info).not.toHaveProperty('Subject');
  });

  it('prints emoji, rare signs and other scripts, and names what no font has', async () => {
    const bytes = await renderPdf(
      withBlocks([
        paragraph('smile 😀 flask 🧪 ⚗ ⚠ ☐ ✓ ⟂ 実 é e\u0301 Ω µ αβγ Привет ⇌ ⟶ ↔ ℃'),
        paragraph('✓'),
      ]),
    );
    const text = flatText(bytes);
    expect(inspect(bytes).missingGlyphs).toBe(0);
    expect(text).toContain('smile 😀 flask [U+1F9EA]');
    expect(text).toContain('[U+5B9F]');
    expect(text).toContain('Привет ⇌ ⟶ ↔');
  });

  it('gives typed powers of ten back as they were typed, beside raised figures of markup', async () => {
    const line = m('source^{1} x^{2}');
    const bytes = await renderPdf(
      withBlocks([
        { kind: 'paragraph', ink: 'print', mark: null, line },
        paragraph('7.4 × 10⁻¹² mol, 10² Pa, H₂O'),
      ]),
    );
    expect(flatText(bytes)).toContain('7.4 × 10⁻¹² mol, 10² Pa, H₂O');
    // A lowered figure may be read as an ordinary one: a formula stays a formula.
    const mixed = await renderPdf(
      withBlocks([
        { kind: 'paragraph', ink: 'print', mark: null, line: m('C_{2}H_{6}O^{2}') },
        paragraph('H₂O, 10²'),
      ]),
    );
    expect(flatText(mixed)).toMatch(/C2H6O2 H[2₂]O, 10²/);
  });

  it('sets right-to-left words in their order', async () => {
    const words = 'שלום עולם';
    const bytes = await renderPdf(withBlocks([paragraph(`before ${words} after`)]));
    const seen = wordsOf(bytes);
    const at = (text: string): number => seen.find((word) => word.text === text)?.xMin ?? NaN;
    expect(inspect(bytes).missingGlyphs).toBe(0);
    // pdftotext gives each word as it lies on the page, its letters from left to right.
    const laid = (word: string): number => at([...word].reverse().join(''));
    // "shalom" comes first, so it stands to the right of "olam"; both between their neighbours.
    expect(at('before')).toBeLessThan(laid('עולם'));
    expect(laid('עולם')).toBeLessThan(laid('שלום'));
    expect(laid('שלום')).toBeLessThan(at('after'));
    // Read back in logical order (poppler wraps the stretch in direction marks).
    expect(flatText(bytes).replace(/[\s\u202a-\u202e]/g, '')).toContain(
      `before${words.replace(' ', '')}after`,
    );
  });

  it('shows characters that steer direction, controls and halves of pairs instead of obeying them', async () => {
    const bytes = await renderPdf(
      withBlocks([paragraph('a\u202eb\u0000c\ud800d\u200be\u2066f'), paragraph('soft\u00adhyphen')]),
    );
    const text = flatText(bytes);
    expect(text).toContain('a[U+202E]b[U+0000]c[U+D800]d[U+200B]e[U+2066]f');
    expect(text).toMatch(/soft.?hyphen/u);
    expect(inspect(bytes).missingGlyphs).toBe(0);
  });

  it('prints a note of 100 kB in full, over as many pages as it takes', async () => {
    const words = Array.from({ length: 16_000 }, (_, index) => `w${index}`);
    const bytes = await renderPdf(withBlocks([paragraph(words.join(' '))]));
    expect(flatText(bytes)).toContain('w0 w1 w2');
    const found = new Set(wordsOf(bytes).map((word) => word.text));
    expect(words.filter((word) => !found.has(word))).toEqual([]);
    expect(checkOf(bytes)).toContain('No syntax');
  }, 60_000);

  it('prints a long note inside a table field in full', async () => {
    const words = Array.from({ length: 4_000 }, (_, index) => `w${index}`);
    const bytes = await renderPdf(
      withBlocks([
        {
          kind: 'spread',
          left: { head: 'Planned', columns: [{ head: [], align: 'left', share: 1 }] },
          foldHead: 'difference',
          right: { head: 'Carried out', columns: [{ head: [], align: 'left', share: 1 }] },
          rows: [
            {
              left: [[m('one step')]],
              fold: [],
              right: [[m(words.join(' ')), m('line\n'.repeat(200) + 'end')]],
              deviates: false,
            },
          ],
        },
      ]),
    );
    const found = new Set(wordsOf(bytes).map((word) => word.text));
    expect(words.filter((word) => !found.has(word))).toEqual([]);
    expect(found.has('end')).toBe(true);
    for (const word of wordsOf(bytes)) expect(word.yMax).toBeLessThan(841.89 - 20);
  }, 60_000);

  it('prints a working longer than a page in full', async () => {
    const words = Array.from({ length: 6_000 }, (_, index) => `w${index}`);
    const bytes = await renderPdf(
      withBlocks([{ kind: 'working', title: m('Long'), lines: [m('x = 1')], notes: [m(words.join(' '))] }]),
    );
    const found = new Set(wordsOf(bytes).map((word) => word.text));
    expect(words.filter((word) => !found.has(word))).toEqual([]);
  }, 60_000);

  it('breaks a word longer than a line, wherever it stands, and loses no letter of it', async () => {
    const long = Array.from({ length: 3000 }, (_, index) => 'abcdefghij'[index % 10]).join('');
    const bytes = await renderPdf(
      withBlocks([
        paragraph(`see ${long} end`),
        {
          kind: 'table',
          density: 'normal',
          caption: null,
          columns: [
            { head: m('A'), align: 'left', share: 1 },
            { head: m('B'), align: 'decimal', share: 1 },
          ],
          rows: [[[m(long)], [m('1.5')]]],
        },
        paragraph('😀'.repeat(400)),
      ]),
    );
    const letters = (text: string): number => [...text].filter((sign) => /[a-j]/.test(sign)).length;
    const body = wordsOf(bytes).filter((word) => /^[a-j]{12,}$/.test(word.text));
    expect(letters(body.map((word) => word.text).join(''))).toBeGreaterThan(5800);
    for (const word of wordsOf(bytes)) expect(word.xMax, word.text).toBeLessThan(595.28 - 44);
    const smiles =
      wordsOf(bytes)
        .map((word) => word.text)
        .join('')
        .match(/😀/gu) ?? [];
    expect(smiles).toHaveLength(400);
    expect(inspect(bytes).missingGlyphs).toBe(0);
  }, 60_000);
});

describe('renderPdf at the end of a page', () => {
  const table = (rows: number): Block => ({
    kind: 'table',
    density: 'normal',
    caption: null,
    columns: [{ head: m('Head'), align: 'left', share: 1 }],
    rows: Array.from({ length: rows }, (_, index) => [
      [m(`row ${index}`), m('second line'), m('third line')],
    ]),
  });
  const lineOf = (word: Word): number => Math.round(word.yMin);

  it('never leaves a heading without what it heads, nor a table head without a row', async () => {
    // Fillers of every height bring the heading to every place of the page.
    for (let filler = 27; filler < 38; filler += 1) {
      const blocks: Block[] = [
        ...Array.from({ length: filler }, (_, index): Block => ({
          kind: 'paragraph',
          ink: 'print',
          mark: null,
          line: m(`filler ${index}`),
        })),
        { kind: 'heading', level: 2, number: '1', line: m('Heading') },
        { kind: 'heading', level: 3, number: '', line: m('Subheading') },
        table(2),
      ];
      const words = wordsOf(await renderPdf(withBlocks(blocks)));
      const pageOf = (text: string): number => words.find((word) => word.text === text)?.page ?? NaN;
      expect(pageOf('Subheading'), `${filler} fillers`).toBe(pageOf('Heading'));
      expect(pageOf('Head'), `${filler} fillers`).toBe(pageOf('Heading'));
      expect(pageOf('row'), `${filler} fillers`).toBe(pageOf('Heading'));
    }
  });

  it('leaves no single line of a paragraph behind or ahead', async () => {
    const long = Array.from({ length: 120 }, (_, index) => `w${index}`).join(' ');
    for (let filler = 27; filler < 38; filler += 1) {
      const blocks: Block[] = [
        ...Array.from({ length: filler }, (_, index): Block => ({
          kind: 'paragraph',
          ink: 'print',
          mark: null,
          line: m(`filler ${index}`),
        })),
        { kind: 'paragraph', ink: 'print', mark: null, line: m(long) },
      ];
      const words = wordsOf(await renderPdf(withBlocks(blocks))).filter((word) => /^w\d+$/.test(word.text));
      expect(words).toHaveLength(120);
      for (const page of new Set(words.map((word) => word.page))) {
        const lines = new Set(words.filter((word) => word.page === page).map(lineOf));
        expect(lines.size, `${filler} fillers, page ${page}`).toBeGreaterThan(1);
      }
    }
  });
});

describe('renderPdf as work in the background', () => {
  it('tells how far it is', async () => {
    const told: number[] = [];
    await renderPdf(record, { onProgress: (fraction) => told.push(fraction) });
    expect(told[0]).toBe(0);
    expect(told.at(-1)).toBe(1);
    expect([...told].sort((a, b) => a - b)).toEqual(told);
  });

  it('stops when told to', async () => {
    const control = new AbortController();
    const parts = Array.from({ length: 30 }, (_, index) => ({ ...entryPart, id: `entry-${index}` }));
    let calls = 0;
    const work = renderPdf(sampleReport({ parts }), {
      signal: control.signal,
      onProgress: () => {
        calls += 1;
        if (calls === 3) control.abort(new Error('enough'));
      },
    });
    await expect(work).rejects.toThrow('enough');
    expect(calls).toBeLessThan(6);
    await expect(renderPdf(record, { signal: control.signal })).rejects.toThrow('enough');
  });

  it('takes fonts from where it is told', async () => {
    const asked = new Set<string>();
    const { installedFonts } = await import('../../../electron/export/fonts.ts');
    await renderPdf(withBlocks([paragraph('plain')]), {
      fonts: (key) => {
        asked.add(key);
        return installedFonts(key);
      },
    });
    expect([...asked].sort()).toEqual(['sans-normal', 'serif-normal']);
    expect(hash).toHaveLength(64);
  });
});
