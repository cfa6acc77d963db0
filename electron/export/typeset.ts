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
  /** What is read and copied in place of the signs as they are drawn. */
  readonly actual?: string;
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

const raisedSigns = '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾';
const loweredSigns = '₀₁₂₃₄₅₆₇₈₉₊₋₍₎';
const ordinarySigns = '0123456789+−()';
const scriptSigns = new RegExp(`([${raisedSigns}]+)|([${loweredSigns}]+)`, 'u');

interface ScriptedRun extends Run {
  readonly actual?: string;
}

/**
 * Raised and lowered figures typed as characters (10⁻³, H₂O) are set like any other script, so that
 * they look alike; read and copied they stay the characters they were.
 */
function scripted(run: Run): ScriptedRun[] {
  if (run.script !== undefined || !scriptSigns.test(run.text)) return [run];
  return run.text
    .split(new RegExp(`([${raisedSigns}]+|[${loweredSigns}]+)`, 'u'))
    .filter((part) => part !== '')
    .map((part) => {
      const signs = raisedSigns.includes([...part][0] ?? ' ') ? raisedSigns : loweredSigns;
      if (!signs.includes([...part][0] ?? ' ')) return { ...run, text: part };
      const text = [...part].map((sign) => ordinarySigns[signs.indexOf(sign)] ?? sign).join('');
      return { ...run, text, script: signs === raisedSigns ? 'super' : 'sub', actual: part };
    });
}

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
    for (const run of line) {
      for (const part of scripted(run)) {
        this.addRun(
          pieces,
          part,
          setting,
          part.actual === undefined ? extra : { ...extra, actual: part.actual },
        );
      }
    }
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
    const feature = run.script === 'sub' ? 'subs' : 'sups';
    if (setting.scripts !== 'scaled' && this.isDrawn(text, face, manner.bold, manner.italics, feature)) {
      return { fontFeatures: [feature] };
    }
    return {
      fontSize: manner.fontSize * scriptSize,
      shift: manner.fontSize * (run.script === 'sub' ? -lower : raise),
    };
  }

  /** True when the font has its own sub- or superscript drawing of every character. */
  private isDrawn(text: string, face: Face, bold: boolean, italics: boolean, feature: string): boolean {
    if (face === 'rare') return false;
    const { font } = this.document.provideFont(face, bold, italics);
    return [...text].every((sign) => {
      const key = `${face}${bold ? 'b' : ''}${italics ? 'i' : ''}${feature}${sign}`;
      let drawn = this.drawnScripts.get(key);
      if (drawn === undefined) {
        drawn = font.layout(sign).glyphs[0]?.id !== font.layout(sign, [feature]).glyphs[0]?.id;
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
