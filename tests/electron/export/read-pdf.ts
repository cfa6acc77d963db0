import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Runs a program of poppler or qpdf on a PDF; the file is gone afterwards. */
export function withPdf<T>(bytes: Uint8Array, use: (path: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-pdf-'));
  try {
    const path = join(folder, 'report.pdf');
    writeFileSync(path, bytes);
    return use(path, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const run = (program: string, ...args: string[]): string =>
  execFileSync(program, args, { encoding: 'utf8', maxBuffer: 64e6 });

export const textOf = (bytes: Uint8Array, ...args: string[]): string =>
  withPdf(bytes, (path) => run('pdftotext', ...args, path, '-'));

/** The text with every kind of space as one space, so that line ends do not matter. */
export const flatText = (bytes: Uint8Array, ...args: string[]): string =>
  textOf(bytes, ...args).replace(/\s+/g, ' ');

export const pagesOf = (bytes: Uint8Array): string[] => textOf(bytes, '-layout').split('\f').slice(0, -1);

export const infoOf = (bytes: Uint8Array): string => withPdf(bytes, (path) => run('pdfinfo', path));
export const structureText = (bytes: Uint8Array): string =>
  withPdf(bytes, (path) => run('pdfinfo', '-struct-text', path));
export const fontsOf = (bytes: Uint8Array): string => withPdf(bytes, (path) => run('pdffonts', path));
export const checkOf = (bytes: Uint8Array): string => withPdf(bytes, (path) => run('qpdf', '--check', path));

export const detached = (bytes: Uint8Array, name: string): Buffer =>
  withPdf(bytes, (path, folder) => {
    run('pdfdetach', '-savefile', name, '-o', join(folder, 'out'), path);
    return readFileSync(join(folder, 'out'));
  });

export interface Word {
  readonly page: number;
  readonly text: string;
  readonly xMin: number;
  readonly yMin: number;
  readonly xMax: number;
  readonly yMax: number;
}

/** Every word with its place on the page, points from the upper left corner. */
export function wordsOf(bytes: Uint8Array): Word[] {
  const html = textOf(bytes, '-bbox');
  const words: Word[] = [];
  let page = 0;
  for (const line of html.split('\n')) {
    if (line.includes('<page ')) page += 1;
    const match =
      /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)<\/word>/.exec(line);
    if (match === null) continue;
    const [, xMin, yMin, xMax, yMax, text = ''] = match;
    words.push({
      page,
      text,
      xMin: Number(xMin),
      yMin: Number(yMin),
      xMax: Number(xMax),
      yMax: Number(yMax),
    });
  }
  return words;
}

export interface Inspection {
  readonly pages: number;
  readonly glyphs: number;
  readonly missingGlyphs: number;
  readonly unmarkedGlyphs: number;
  readonly fonts: Readonly<Record<string, boolean>>;
  readonly structure: Readonly<Record<string, number>>;
  readonly marked: readonly string[];
  readonly isMarked: boolean;
  readonly language: string;
  readonly outputIntents: readonly string[];
  readonly files: readonly {
    readonly name: string;
    readonly relationship: string;
    readonly mediaType: string;
    readonly size: number;
    readonly isChecksumRight: boolean;
    readonly isAssociated: boolean;
  }[];
  readonly annotations: readonly { readonly subtype: string; readonly flags: number }[];
  readonly outline: readonly (readonly [string, readonly unknown[]])[];
  readonly hasId: boolean;
  readonly info: Readonly<Record<string, string>>;
  readonly xmp: Readonly<Record<string, string | null>>;
}

const script = fileURLToPath(new URL('./inspect-pdf.py', import.meta.url));

/** What pikepdf sees in the file. Debian's Python has it; another on the path may not. */
export const inspect = (bytes: Uint8Array): Inspection =>
  withPdf(bytes, (path) => JSON.parse(run('/usr/bin/python3', script, path)) as Inspection);
