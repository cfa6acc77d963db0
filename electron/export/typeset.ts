import type { Ink, Line, Run } from '../../core/report/report-document.ts';
import type { Face } from './fonts.ts';
import { inks, quiet } from './palette.ts';
import type { PdfDocument } from './pdf-document.ts';
import type { Tag } from './tags.ts';

/** How a line is set where its runs do not say otherwise. */
export interface Setting {
  readonly face: Face;
  readonly size: number;
  readonly ink?: Ink;
  readonly color?: string;
  readonly bold?: boolean;
  readonly italic?: boolean;
  /** Sub- and superscripts as the font draws them, or ordinary figures made smaller. */
  readonly scripts?: 'drawn' | 'scaled';
}

/** A stretch of text in one font, as pdfmake takes it; the extra keys come back with its inlines. */
export interface Piece {
  readonly text: string;
  readonly font: Face;
  readonly bold: boolean;
  readonly italics: boolean;
  readonly fontSize: number;
  readonly color: string;
  readonly fontFeatures: readonly string[] | null;
  /** Points above the base line. */
  readonly shift: number;
  readonly alignment?: 'left' | 'right' | 'center';
  /** Of the font's own line height. */
  readonly lineHeight?: number;
  readonly tag?: Tag;
  readonly bookmark?: string;
  readonly goTo?: string;
}

/** What a text node gives to all its pieces. */
export type PieceExtra = Partial<Pick<Piece, 'tag' | 'bookmark' | 'goTo' | 'alignment' | 'lineHeight'>>;

/** Where a font has no drawn script figures, ordinary ones are made smaller and moved. */
const scriptSize = 0.68;
const raise = 0.37;
const lower = 0.15;
/** No-break spaces made narrower stand for thin ones: the fonts' own are hardly to be seen. */
const thinSpace: Readonly<Record<Face, number>> = { serif: 0.72, sans: 0.85, rare: 0.6 };
/** A stretch without any break longer than this is given to the line breaker in parts. */
const longestWord = 90;

const marks =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\uffff]|\p{Surrogate}|[\u{e0000}-\u{e007f}]/gu; // eslint-disable-line no-control-regex
// eslint-disable-next-line no-misleading-character-class
const invisible = /[\u00ad\u034f\u200c\u200d\ufe00-\ufe0f]/gu;
const named = (sign: string): string =>
  `[U+${(sign.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`;

/**
 * Text that can be printed: signs that steer direction, controls and halves of characters become
 * a visible mark instead of acting on the page; the exact text is in the embedded JSON.
 */
export const legible = (text: string): string =>
  text
    .replace(/\r\n?|[\u2028\u2029]/g, '\n')
    .replace(/\t/g, '    ')
    .replace(marks, named);

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Raised and lowered figures typed as characters: 10⁻³, H₂O. */
const scriptSigns = /([⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾]+|[₀₁₂₃₄₅₆₇₈₉₊₋₍₎]+)/u;

/** Sets lines in the fonts of one document: picks a face per character, so that no sign is left without a glyph. */
export class Typesetter {
  private readonly document: PdfDocument;
  private readonly covered = new Map<string, boolean>();
  private readonly drawnScripts = new Map<string, boolean>();

  constructor(document: PdfDocument) {
    this.document = document;
  }

  /** The pieces of a line, in order. An empty line gives one empty piece, which keeps its height. */
  pieces(line: Line, setting: Setting, extra: PieceExtra = {}): Piece[] {
    const pieces: Piece[] = [];
    for (const run of line) this.addRun(pieces, run, setting, extra);
    if (pieces.length === 0) this.addText(pieces, '', this.manner({ text: '' }, setting), extra);
    return pieces;
  }

  /** Width in points of pieces set on one line. */
  width(pieces: readonly Piece[]): number {
    let width = 0;
    for (const piece of pieces) {
      const font = this.document.provideFont(piece.font, piece.bold, piece.italics);
      width += font.widthOfString(piece.text, piece.fontSize, piece.fontFeatures);
    }
    return width;
  }

  private manner(run: Run, setting: Setting): Omit<Piece, 'text' | 'font' | 'fontFeatures' | 'shift'> {
    return {
      bold: run.weight === 'bold' || setting.bold === true,
      italics: run.style === 'italic' || setting.italic === true,
      fontSize: setting.size,
      color:
        run.tone === 'quiet'
          ? quiet
          : run.ink !== undefined
            ? inks[run.ink]
            : (setting.color ?? inks[setting.ink ?? 'print']),
    };
  }

  private addRun(pieces: Piece[], run: Run, setting: Setting, extra: object): void {
    const manner = this.manner(run, setting);
    for (const { text, face } of this.byFace(legible(run.text), setting.face, manner.bold, manner.italics)) {
      const script = this.script(run, text, face, manner, setting);
      for (const part of text.split(/([\u2009\u202f])/)) {
        if (part === '') continue;
        const isThin = part === '\u2009' || part === '\u202f';
        const fontSize = (script.fontSize ?? manner.fontSize) * (isThin ? thinSpace[face] : 1);
        const text = isThin ? '\u00a0' : part;
        this.addText(pieces, text, { ...manner, fontSize }, { ...extra, ...script, fontSize }, face);
      }
    }
  }

  private addText(
    pieces: Piece[],
    text: string,
    manner: Omit<Piece, 'text' | 'font' | 'fontFeatures' | 'shift'>,
    extra: object,
    font: Face = 'serif',
  ): void {
    for (const part of splitLongWords(text)) {
      pieces.push({ fontFeatures: null, shift: 0, ...manner, ...extra, text: part, font });
    }
  }

  private script(
    run: Run,
    text: string,
    face: Face,
    manner: { fontSize: number; bold: boolean; italics: boolean },
    setting: Setting,
  ): { fontSize?: number; shift?: number; fontFeatures?: readonly string[] } {
    if (run.script === undefined) return {};
    // Raised figures are never the font's own: those are the characters ¹²³ too, and a glyph has one
    // reading in a document, so that 10² could come back as 102 when it is copied. For H₂O it would be H2O.
    const isDrawn = run.script === 'sub' && setting.scripts !== 'scaled';
    if (isDrawn && this.isDrawn(text, face, manner.bold, manner.italics)) return { fontFeatures: ['subs'] };
    return {
      fontSize: manner.fontSize * scriptSize,
      shift: manner.fontSize * (run.script === 'sub' ? -lower : raise),
    };
  }

  /** True when the font has its own lowered drawing of every character. */
  private isDrawn(text: string, face: Face, bold: boolean, italics: boolean): boolean {
    if (face === 'rare') return false;
    const { font } = this.document.provideFont(face, bold, italics);
    return [...text].every((sign) => {
      const key = `${face}${bold ? 'b' : ''}${italics ? 'i' : ''}${sign}`;
      let drawn = this.drawnScripts.get(key);
      if (drawn === undefined) {
        drawn = font.layout(sign).glyphs[0]?.id !== font.layout(sign, ['subs']).glyphs[0]?.id;
        this.drawnScripts.set(key, drawn);
      }
      return drawn;
    });
  }

  /** Cuts a text where the face has to change. What no face has is spelled out by its code point. */
  private *byFace(
    text: string,
    face: Face,
    bold: boolean,
    italics: boolean,
  ): Generator<{ text: string; face: Face }> {
    if (this.covers(text, face, bold, italics)) {
      yield { text, face };
      return;
    }
    if (scriptSigns.test(text)) {
      yield* this.withScripts(text, face, bold, italics);
      return;
    }
    let held = '';
    let heldFace: Face = face;
    for (const { segment } of graphemes.segment(text)) {
      const visible = segment.replace(invisible, '');
      let chosen: Face = face;
      let printed = visible;
      if (!this.covers(visible, face, bold, italics)) {
        if (this.covers(visible, 'rare', bold, italics)) chosen = 'rare';
        else
          printed = [...visible]
            .map((sign) => (this.covers(sign, face, bold, italics) ? sign : named(sign)))
            .join('');
      }
      if (chosen !== heldFace && held !== '') {
        yield { text: held, face: heldFace };
        held = '';
      }
      heldFace = chosen;
      held += printed;
    }
    if (held !== '') yield { text: held, face: heldFace };
  }

  /** The figures of one exponent in one face: the serif has no raised minus, the sans has all. */
  private *withScripts(
    text: string,
    face: Face,
    bold: boolean,
    italics: boolean,
  ): Generator<{ text: string; face: Face }> {
    for (const part of text.split(scriptSigns)) {
      if (part === '') continue;
      if (!scriptSigns.test(part)) yield* this.byFace(part, face, bold, italics);
      else if (this.covers(part, face, bold, italics)) yield { text: part, face };
      else yield { text: part, face: this.covers(part, 'sans', bold, italics) ? 'sans' : 'rare' };
    }
  }

  private covers(text: string, face: Face, bold: boolean, italics: boolean): boolean {
    const prefix = `${face}${bold ? 'b' : ''}${italics ? 'i' : ''}`;
    for (const sign of text) {
      if (sign === '\n' || sign === '\u2009' || sign === '\u202f') continue;
      const key = prefix + sign;
      let covered = this.covered.get(key);
      if (covered === undefined) {
        const { font } = this.document.provideFont(face, bold, italics);
        covered = font.hasGlyphForCodePoint(sign.codePointAt(0) ?? 0);
        this.covered.set(key, covered);
      }
      if (!covered) return false;
    }
    return true;
  }
}

function splitLongWords(text: string): string[] {
  if (text.length <= longestWord) return [text];
  const parts: string[] = [];
  let from = 0;
  let wordStart = 0;
  for (let at = 0; at < text.length; at += 1) {
    if (/\s/.test(text[at] as string)) wordStart = at + 1;
    const isPairStart = (text.charCodeAt(at) & 0xfc00) === 0xd800;
    if (at - wordStart >= longestWord && !isPairStart) {
      parts.push(text.slice(from, at + 1));
      from = at + 1;
      wordStart = at + 1;
    }
  }
  if (from < text.length) parts.push(text.slice(from));
  return parts;
}
