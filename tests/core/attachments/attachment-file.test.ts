import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  attachmentLimits,
  attachmentName,
  judgeAttachment,
  shownBytes,
} from '../../../core/attachments/attachment-file.ts';
import { boastingPng, jpeg, png } from '../../electron/export/pictures.ts';

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const codeOf = (name: string, bytes: Uint8Array): string => {
  const judged = judgeAttachment(name, bytes);
  return judged.ok ? judged.value.mediaType : judged.error.code;
};

/** Exif 2.32, 4.6: orientation 6 and a GPS directory with one latitude. */
function exifWithPosition(): Buffer {
  const tiff = Buffer.alloc(8 + 2 + 24 + 4 + 2 + 12 + 4);
  tiff.write('MM\0*', 0, 'latin1');
  tiff.writeUInt32BE(8, 4);
  tiff.writeUInt16BE(2, 8);
  tiff.set([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0], 10);
  tiff.set([0x88, 0x25, 0, 4, 0, 0, 0, 1], 22);
  tiff.writeUInt32BE(38, 30);
  tiff.writeUInt16BE(1, 38);
  tiff.set([0, 1, 0, 2, 0, 0, 0, 2, 0x4e, 0, 0, 0], 40);
  return Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff]);
}
const segment = (marker: number, content: Buffer): Buffer => {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(content.length + 2, 2);
  return Buffer.concat([head, content]);
};
const photograph = Buffer.concat([
  jpeg.subarray(0, 2),
  segment(0xe1, exifWithPosition()),
  segment(0xfe, Buffer.from('taken by Ada')),
  jpeg.subarray(2),
  // As telephones do: a second picture behind the first.
  jpeg.subarray(0, 2),
  segment(0xe1, exifWithPosition()),
]);

describe('judgeAttachment', () => {
  it('takes what it can show, by content and ending together', () => {
    expect(codeOf('crystals.PNG', png())).toBe('image/png');
    expect(codeOf('crystals.jpeg', jpeg)).toBe('image/jpeg');
    expect(codeOf('ir.csv', bytesOf('cm-1,T\n1700,0.31\n'))).toBe('text/csv');
    expect(codeOf('ir.jdx', bytesOf('##TITLE=benzocaine\n##END=\n'))).toBe('text/plain');
    expect(codeOf('nmr.pdf', bytesOf('%PDF-1.4\nall of it\n%%EOF\n'))).toBe('application/pdf');
  });

  it('refuses a file that is not what its ending says', () => {
    expect(codeOf('crystals.png', jpeg)).toBe('attachment-disguised');
    expect(codeOf('page.txt', png())).toBe('attachment-disguised');
    expect(codeOf('program.pdf', bytesOf('MZ\0\0'))).toBe('attachment-disguised');
    expect(codeOf('table.csv', Buffer.from([0xff, 0xfe, 0x61, 0]))).toBe('attachment-disguised');
  });

  it('refuses kinds that could carry a program', () => {
    for (const name of ['a.svg', 'a.html', 'a.js', 'a.exe', 'a', 'a.png.lnk', '.png.']) {
      expect(codeOf(name, bytesOf('<svg onload="x()"/>')), name).toBe('attachment-kind');
    }
  });

  it('reads the size of a picture from its header, before anything is decoded', () => {
    const judged = judgeAttachment('huge.png', boastingPng());
    expect(judged).toMatchObject({
      ok: false,
      error: { code: 'attachment-too-many-pixels', facts: { width: 50_000, height: 50_000 } },
    });
  });

  it('refuses what was cut off, at every length', () => {
    for (const [name, whole] of [
      ['a.png', png()],
      ['a.jpg', jpeg],
    ] as const) {
      for (let length = 12; length < whole.length - 4; length += 7) {
        expect(codeOf(name, whole.subarray(0, length)), `${name} ${length}`).toBe('attachment-damaged');
      }
    }
    expect(codeOf('a.pdf', bytesOf('%PDF-1.4\nhalf of'))).toBe('attachment-damaged');
  });

  it('never loops or throws on bytes turned over', () => {
    for (let at = 3; at < photograph.length; at += 1) {
      const turned = Buffer.from(photograph);
      turned[at] = (turned[at] ?? 0) ^ 0xff;
      expect(typeof codeOf('a.jpg', turned)).toBe('string');
    }
  });

  it('holds to the limits of size and name', () => {
    expect(codeOf('a.txt', new Uint8Array(attachmentLimits.bytes + 1).fill(65))).toBe('attachment-too-large');
    expect(codeOf('a.txt', new Uint8Array(attachmentLimits.bytes).fill(65))).toBe('text/plain');
    expect(codeOf('a.txt', new Uint8Array())).toBe('attachment-empty');
    expect(codeOf(`${'a'.repeat(200)}.txt`, bytesOf('x'))).toBe('attachment-name');
  });

  it('keeps nothing of a path, and no marks that turn a name round', () => {
    expect(attachmentName('../../etc/pass.txt')).toBe('pass.txt');
    expect(attachmentName('C:\\Users\\ada\\melt.jpg')).toBe('melt.jpg');
    expect(attachmentName('gnp.\u202Eexe.png')).toBe('gnp.exe.png');
    expect(attachmentName('a\r\nb\0.txt')).toBe('ab.txt');
  });
});

describe('shownBytes', () => {
  let folder: string;
  beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'fairleaf-picture-'))));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const identify = (name: string, bytes: Uint8Array, format: string): string => {
    const path = join(folder, name);
    writeFileSync(path, bytes);
    return execFileSync('identify', ['-format', format, path], { encoding: 'utf8' });
  };

  it('drops the position and everything behind the picture, and keeps it upright', () => {
    expect(judgeAttachment('a.jpg', photograph)).toMatchObject({ ok: true, value: { hasPosition: true } });
    // The independent reader sees the position in the original ...
    const everything = '%[EXIF:*]%c';
    expect(identify('whole.jpg', photograph, everything)).toMatch(/GPS/);
    // ... and none in what is shown.
    const shown = shownBytes('image/jpeg', photograph);
    const said = identify('shown.jpg', shown, everything);
    expect(said).toMatch(/Orientation=6/);
    expect(said).not.toMatch(/GPS|Ada/);
    expect(Buffer.from(shown).includes('taken by')).toBe(false);
    expect(Buffer.from(shown).subarray(-2)).toEqual(Buffer.from([0xff, 0xd9]));
    expect(judgeAttachment('a.jpg', shown)).toMatchObject({ ok: true, value: { hasPosition: false } });
  });

  it('shows the same pixels as before', () => {
    const pixels = (name: string, bytes: Uint8Array): string => {
      writeFileSync(join(folder, name), bytes);
      execFileSync('convert', [join(folder, name), '-depth', '8', `rgb:${join(folder, `${name}.rgb`)}`]);
      return readFileSync(join(folder, `${name}.rgb`)).toString('hex');
    };
    expect(pixels('b.jpg', shownBytes('image/jpeg', photograph))).toBe(pixels('a.jpg', photograph));
    const picture = png({ colourType: 3 });
    expect(pixels('b.png', shownBytes('image/png', picture))).toBe(pixels('a.png', picture));
  });

  it('leaves files that are no pictures as they are', () => {
    const table = bytesOf('a,b\n');
    expect(shownBytes('text/csv', table)).toBe(table);
  });
});
