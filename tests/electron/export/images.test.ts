import { describe, expect, it } from 'vitest';
import type { Block } from '../../../core/report/report-document.ts';
import { printableSize } from '../../../electron/export/images.ts';
import { renderPdf } from '../../../electron/export/render-pdf.ts';
import { boastingPng, cmykJpeg, jpeg, png } from './pictures.ts';
import { checkOf, flatText, inspect } from './read-pdf.ts';
import { entryPart, m, sampleReport } from './sample-report.ts';

const named = (index: number): string => String(index).repeat(64).slice(0, 64);

const showing = (pictures: readonly Buffer[], captions = true) => {
  const blocks: Block[] = pictures.map((bytes, index) => ({
    kind: 'image',
    sha256: named(index),
    name: `picture-${index}`,
    mediaType: 'image/png',
    sizeBytes: bytes.length,
    caption: captions ? m(`caption ${index}`) : [],
  }));
  const images = new Map(pictures.map((bytes, index) => [named(index), { bytes, mediaType: 'image/png' }]));
  return renderPdf(sampleReport({ parts: [{ ...entryPart, blocks }], embedded: [] }), { images });
};

describe('printableSize', () => {
  it('reads the size of every common kind', () => {
    for (const colourType of [0, 2, 3, 6] as const) {
      expect(printableSize(png({ colourType }), 1)).toEqual({ width: 24, height: 16 });
    }
    expect(printableSize(jpeg, 1)).toEqual({ width: 16, height: 12 });
    // EXIF orientation 6: the camera was held upright.
    expect(printableSize(jpeg, 6)).toEqual({ width: 12, height: 16 });
  });

  it('refuses what would end the process, fill the memory or break PDF/A', () => {
    const whole = png();
    const flipped = Buffer.from(whole);
    flipped[60] = (flipped[60] ?? 0) ^ 1;
    const refused = {
      'cut short': whole.subarray(0, whole.length - 20),
      'one bit changed': flipped,
      'fifty thousand pixels wide': boastingPng(),
      'four channels': cmykJpeg,
      'JPEG cut short': jpeg.subarray(0, 200),
      'no picture': Buffer.from('%PDF-1.7 and so on, long enough to be looked at'),
      empty: Buffer.alloc(0),
    };
    for (const [why, bytes] of Object.entries(refused)) expect(printableSize(bytes, 1), why).toBeNull();
  });
});

describe('renderPdf with pictures', () => {
  it('prints them with caption, name and hash, and describes them for who cannot see them', async () => {
    const bytes = await showing([png(), png({ colourType: 6 }), png({ colourType: 3 }), jpeg]);
    expect(checkOf(bytes)).toContain('No syntax or stream encoding errors found');
    expect(inspect(bytes).structure['/Figure']).toBe(4);
    const text = flatText(bytes);
    for (const index of [0, 1, 2, 3])
      expect(text).toContain(`caption ${index} picture-${index}, SHA-256 ${named(index)}`);
  });

  it('names what it cannot print and goes on', async () => {
    const bytes = await showing([boastingPng(), cmykJpeg, png()]);
    const text = flatText(bytes);
    expect(text).toContain('File “picture-0” (image/png, ');
    expect(text).toContain('File “picture-1” (image/png, ');
    expect(text).toContain('is part of this version and is not printed here');
    expect(text).not.toContain('File “picture-2”');
    expect(checkOf(bytes)).toContain('No syntax');
  });

  it('names a picture that was not given', async () => {
    const blocks: Block[] = [
      {
        kind: 'image',
        sha256: named(7),
        name: 'lost.png',
        mediaType: 'image/png',
        sizeBytes: 2_500_000,
        caption: [],
      },
    ];
    const bytes = await renderPdf(sampleReport({ parts: [{ ...entryPart, blocks }], embedded: [] }));
    expect(flatText(bytes)).toContain('File “lost.png” (image/png, 2.5 MB) is part of this version');
  });

  it('gives the same bytes however long each picture takes to decode', async () => {
    const pictures = Array.from({ length: 6 }, (_, index) =>
      png({ colourType: 6, width: 400 - 60 * index, height: 300, seed: index + 1 }),
    );
    const first = await showing(pictures);
    for (let run = 0; run < 3; run += 1) {
      expect(Buffer.compare(Buffer.from(await showing(pictures)), Buffer.from(first))).toBe(0);
    }
  });
});
