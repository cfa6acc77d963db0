import { describe, expect, it } from 'vitest';
import { entryReport } from '../../../core/report/entry-report.ts';
import { recordReport } from '../../../core/report/record-report.ts';
import { fingerprint } from '../../../core/record/fingerprint.ts';
import { renderPdf } from '../../../electron/export/render-pdf.ts';
import { sampleBundle, sampleRecord } from '../../core/report/sample-bundle.ts';
import { checkOf, detached, flatText, inspect, pagesOf, textOf, wordsOf } from './read-pdf.ts';

/** From the entry to the page: the engine's values, read back with poppler. */
describe('an entry as PDF', async () => {
  const bundle = sampleBundle();
  const bytes = await renderPdf(entryReport(bundle));
  const seen = inspect(bytes);
  const flow = flatText(bytes);
  const pages = pagesOf(bytes);

  it('is sound, complete in its glyphs and wholly tagged', () => {
    expect(checkOf(bytes)).toContain('No syntax or stream encoding errors found');
    expect(seen.missingGlyphs).toBe(0);
    expect(seen.unmarkedGlyphs).toBe(0);
    expect(Object.values(seen.fonts).every(Boolean)).toBe(true);
  });

  it('prints every signed value', () => {
    const values = (bundle.versions[1]?.computed.lines ?? []).filter((line) => line.lines.length > 0);
    expect(values.length).toBeGreaterThan(40);
    const spaceless = flow.replace(/\s/g, '');
    for (const { id, value, unit } of values) {
      // In the calculation a value with its uncertainty stands in brackets before the unit.
      const found =
        spaceless.includes(`${value}${unit}`.replace(/\s/g, '')) ||
        spaceless.includes(`(${value})${unit}`.replace(/\s/g, ''));
      expect(found, `${id}: ${value} ${unit}`).toBe(true);
    }
  });

  it('prints what was typed, to the letter', () => {
    for (const typed of ['2.52 g', '5.5 mL', '0.40 mL', '133–135 °C', '77.5 °C', '2.98 g', '2.41 g']) {
      expect(flow).toContain(typed);
    }
  });

  it('keeps powers of ten readable when copied', () => {
    expect(flow).toMatch(/× 10⁻⁶/);
  });

  it('prints the fingerprint on every page, as the title, the signatures and the footer say it', () => {
    const print = fingerprint(bundle.versions[1]?.hash ?? '');
    for (const page of pages) expect(page).toContain(print);
    expect(flow.split(print).length - 1).toBeGreaterThan(pages.length + 2);
  });

  it('never ends a page with a heading', () => {
    const words = wordsOf(bytes);
    const headings = [
      'Aim',
      'Principle',
      'Requirements',
      'Hazards',
      'Reagents',
      'Procedure',
      'Observations',
      'Calculation',
      'Result',
      'Discussion',
      'Signatures',
      'Versions',
      'Audit',
    ];
    for (const [index] of pages.entries()) {
      const body = words.filter((word) => word.page === index + 1 && word.yMin > 50 && word.yMax < 790);
      const last = Math.max(...body.map((word) => word.yMax));
      const lowest = body.filter((word) => word.yMax > last - 4 && word.xMin < 110).map((word) => word.text);
      expect(
        lowest.length === 1 && headings.includes(lowest[0] ?? ''),
        `page ${index + 1}: ${lowest.join(' ')}`,
      ).toBe(false);
    }
  });

  it('sets the decimal points of the reagent table under each other', () => {
    const page = pages.findIndex((one) => one.includes('Equiv.')) + 1;
    const amounts = wordsOf(bytes).filter((word) => word.page === page && /^\d+\.\d+$/.test(word.text));
    // The planned amounts in mmol: all words whose right neighbour is mmol share the place of the point.
    const all = wordsOf(bytes).filter((word) => word.page === page);
    const points = amounts
      .filter((word) =>
        all.some(
          (unit) =>
            unit.text === 'mmol' &&
            Math.abs(unit.yMin - word.yMin) < 1 &&
            unit.xMin > word.xMax &&
            unit.xMin - word.xMax < 6,
        ),
      )
      .filter((word) => word.xMin < 330)
      .map((word) => {
        const decimals = word.text.split('.')[1]?.length ?? 0;
        // Tabular figures of Source Sans 3: 0.497 em each; the point 0.249 em.
        return word.xMax - decimals * 0.497 * 8.6;
      });
    expect(points.length).toBeGreaterThan(3);
    expect(Math.max(...points) - Math.min(...points)).toBeLessThan(0.3);
  });

  it('gives the canonical JSON back byte for byte', () => {
    expect(detached(bytes, 'entry.json').toString('utf8')).toBe(bundle.embedded[0]?.text);
  });

  it('is the same when it is made again', async () => {
    const again = await renderPdf(entryReport(sampleBundle()));
    expect(Buffer.compare(Buffer.from(again), Buffer.from(bytes))).toBe(0);
  });
});

describe('a bound record as PDF', async () => {
  const bytes = await renderPdf(recordReport(sampleRecord(3)));
  const pages = pagesOf(bytes);

  it('opens with the certificate and the index, whose page numbers are those of the entries', () => {
    expect(pages[0]).toContain('Department of Chemistry');
    expect(pages[0]).toContain('Instructor in charge');
    const numbers = [...(pages[1] ?? '').matchAll(/Acetylsalicylic acid .* (\d+)\n/g)].map((match) =>
      Number(match[1]),
    );
    expect(numbers).toHaveLength(3);
    numbers.forEach((number, index) => {
      expect(pages[number - 1]).toMatch(new RegExp(`Entry ${index + 1} +Ashgrove College`));
    });
  });

  it('numbers its pages through', () => {
    pages.forEach((page, index) => expect(page).toContain(`page ${index + 1} of ${pages.length}`));
  });

  it('has a bookmark for each part', () => {
    expect(inspect(bytes).outline.map(([title]) => title)).toEqual([
      'Certificate',
      'Index',
      '1  Acetylsalicylic acid',
      '2  Acetylsalicylic acid',
      '3  Acetylsalicylic acid',
    ]);
  });

  it('prints the certificate as text', () => {
    expect(textOf(bytes, '-f', '1', '-l', '1')).toContain('Mira Ashdown');
  });
});
