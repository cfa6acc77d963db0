import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { entryReport } from '../../../core/report/entry-report.ts';
import { recordReport } from '../../../core/report/record-report.ts';
import { renderPdf } from '../../../electron/export/render-pdf.ts';
import { createSealKey } from '../../../electron/export/seal-certificate.ts';
import { sampleBundle, sampleRecord } from '../../core/report/sample-bundle.ts';
import { jpeg, png } from './pictures.ts';
import { withPdf } from './read-pdf.ts';
import { entryPart, m, sampleReport } from './sample-report.ts';

/**
 * An independent judge: the Preflight classes of Apache PDFBox, as Debian packages them
 * (libpdfbox2-java). They know PDF/A-1b, so of a sound PDF/A-3b they may say these four things and
 * no other; each is allowed, or asked for, by ISO 19005-3.
 */
const allowed: readonly RegExp[] = [
  // 19005-3 is part 3.
  /^7\.11\.2 : Error on MetaData, part must be 1$/,
  // Embedded files are what part 3 is for.
  /^1\.2\.9 : Body Syntax error, EmbeddedFile entry is present in a FileSpecification dictionary$/,
  /^1\.4\.7 : Trailer Syntax error, EmbeddedFile entry is present in the Names dictionary$/,
  // Asked for by part 1 alone.
  /^3\.1\.11 : Invalid Font definition, [A-Z]{6}\+[-A-Za-z0-9]+: The CIDSet entry is missing for the Composite Subset$/,
];

const jars = [
  'preflight',
  'pdfbox2',
  'fontbox2',
  'xmpbox',
  'commons-logging',
  'javax.activation',
  'jaxb-api',
].map((name) => `/usr/share/java/${name}.jar`);

/** What Preflight says, one line each; its opening line names the file. */
function judged(bytes: Uint8Array): string[] {
  return withPdf(bytes, (path) => {
    let told: string;
    try {
      told = execFileSync(
        'java',
        ['-cp', jars.join(':'), 'org.apache.pdfbox.preflight.Validator_A1b', path],
        {
          encoding: 'utf8',
          stdio: ['ignore', 'pipe', 'ignore'],
        },
      );
    } catch (error) {
      // It ends with a code of its own when it has something to say.
      told = (error as { stdout?: string }).stdout ?? '';
    }
    const lines = told.split('\n').filter((line) => line.trim() !== '');
    expect(lines[0]).toContain('report.pdf');
    return lines.slice(1);
  });
}
const objections = (bytes: Uint8Array): string[] =>
  judged(bytes).filter((line) => !allowed.some((pattern) => pattern.test(line)));

describe('what PDFBox Preflight finds in a bound PDF', () => {
  it('is nothing but what part 3 allows: an entry', async () => {
    const bytes = await renderPdf(entryReport(sampleBundle()));
    expect(objections(bytes)).toEqual([]);
    // It did look at this file: it knows part 1 only, and says so.
    expect(judged(bytes).join('\n')).toContain('part must be 1');
  });

  it('is nothing but what part 3 allows: a record', async () => {
    expect(objections(await renderPdf(recordReport(sampleRecord(3))))).toEqual([]);
  });

  it('is nothing but what part 3 allows: sealed', async () => {
    const key = await createSealKey({
      institution: 'Ashgrove College',
      department: 'Department of Chemistry',
      serial: 1,
      notBefore: new Date('2026-09-01T00:00:00Z'),
      notAfter: new Date('2036-09-01T00:00:00Z'),
    });
    const seal = {
      key,
      name: 'Department of Chemistry',
      reason: 'Bound',
      at: new Date('2027-06-30T10:00:00Z'),
    };
    expect(objections(await renderPdf(sampleReport(), { seal }))).toEqual([]);
  });

  it('is nothing but what part 3 allows: photographs', async () => {
    const bytes = [jpeg, png({ colourType: 2 }), png({ colourType: 0 })];
    const images = new Map(
      bytes.map((data, index) => [
        String(index).repeat(64),
        { bytes: data, mediaType: index === 0 ? 'image/jpeg' : 'image/png' },
      ]),
    );
    const blocks = bytes.map((data, index) => ({
      kind: 'image' as const,
      sha256: String(index).repeat(64),
      name: `picture-${index}`,
      mediaType: 'image/png',
      sizeBytes: data.length,
      caption: m('caption'),
    }));
    const report = sampleReport({ parts: [{ ...entryPart, blocks }], embedded: [] });
    expect(objections(await renderPdf(report, { images }))).toEqual([]);
  });

  it.each([
    ['the colours have no output intent', '/OutputIntents', '/OutputIntentz'],
    ['the file has no metadata', '/Metadata', '/Metadatz'],
    ['the file has no identity', '/ID [', '/IX ['],
  ])('is an objection when %s', async (_, from, to) => {
    const damaged = Buffer.from(await renderPdf(sampleReport()));
    let at = damaged.indexOf(from, 0, 'latin1');
    expect(at).toBeGreaterThan(0);
    for (; at >= 0; at = damaged.indexOf(from, at + 1, 'latin1')) damaged.write(to, at, 'latin1');
    expect(objections(damaged)).not.toEqual([]);
  });
});
