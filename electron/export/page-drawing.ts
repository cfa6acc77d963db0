import { BaseRenderer, svgToPdf } from './pdfmake-internals.ts';
import type { Inline, LaidOutPage, OutlineItem, PdfLine, PlacedSvg } from './pdfmake-internals.ts';
import type { Face } from './fonts.ts';
import type { PdfDocument } from './pdf-document.ts';
import { asArtifact } from './tags.ts';
import type { Tag } from './tags.ts';
import type { Piece } from './typeset.ts';

const rightToLeft = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]/;

const leftToRight = (text: string): boolean => /\p{L}/u.test(text) && !rightToLeft.test(text);

/** What an inline carries beyond pdfmake's own keys (`Piece`). */
interface SetInline extends Inline {
  readonly shift?: number;
  readonly tag?: Tag;
  readonly bookmark?: string;
  readonly goTo?: string;
}

/**
 * Draws laid-out pages: text in the structure it belongs to, rules and tints as artifacts, base
 * lines of sub- and superscripts where the typesetter put them, right-to-left words in their order.
 */
export class PageDrawing extends BaseRenderer {
  private readonly document: PdfDocument;
  /** Bookmarks of the headings being drawn hang under this one. */
  bookmarks: OutlineItem | null = null;

  constructor(document: PdfDocument) {
    super(document);
    this.document = document;
  }

  draw(page: LaidOutPage): void {
    for (const { type, item } of page.items) {
      switch (type) {
        case 'line':
          this.renderLine(item, item.x, item.y);
          break;
        case 'svg':
          this.drawSvg(item);
          break;
        case 'image':
          this.drawTagged(item['tag'] as Tag | undefined, () => this.renderImage(item));
          break;
        case 'vector':
          asArtifact(this.document, () => this.renderVector(item));
          break;
        case 'beginClip':
        case 'endClip':
        case 'beginVerticalAlignment':
        case 'endVerticalAlignment':
          throw new Error(`${type} is not used by any block`);
      }
    }
  }

  override renderLine(line: PdfLine, x: number, y: number): void {
    const inlines = inReadingOrder(line.inlines);
    const first = line.inlines[0] as SetInline | undefined;
    if (first === undefined || inlines.every((inline) => inline.text.trim() === '')) return;
    const baseline = y + line.getAscenderHeight();
    if (first.bookmark !== undefined && this.bookmarks !== null) {
      this.document.addBookmark(this.bookmarks, first.bookmark, y - 6);
    }
    this.drawTagged(first.tag, () => {
      for (const inline of joined(inlines)) this.drawText(inline, x, baseline);
    });
    if (first.goTo !== undefined) {
      const width = inlines.reduce((sum, inline) => sum + inline.width, 0);
      this.document.goTo(x, y, width, line.getHeight(), first.goTo);
    }
  }

  /** Pieces on one base line, as page furniture. */
  drawPieces(pieces: readonly Piece[], x: number, baseline: number): void {
    let at = x;
    for (const piece of pieces) {
      const font = this.document.provideFont(piece.font, piece.bold, piece.italics);
      const width = font.widthOfString(piece.text, piece.fontSize, piece.fontFeatures);
      if (piece.text !== '') this.drawText({ ...piece, font, width, x: at }, 0, baseline);
      at += width;
    }
  }

  private drawText(
    inline: Pick<
      SetInline,
      'text' | 'font' | 'fontSize' | 'fontFeatures' | 'color' | 'shift' | 'x' | 'width'
    >,
    x: number,
    baseline: number,
  ): void {
    const { document } = this;
    document.fill(inline.color);
    document._font = inline.font;
    document.fontSize(inline.fontSize);
    const top = baseline - (inline.font.ascender / 1000) * inline.fontSize - (inline.shift ?? 0);
    document.text(inline.text, x + inline.x, top, {
      lineBreak: false,
      textWidth: inline.width,
      wordCount: 1,
      ...(inline.fontFeatures === null ? {} : { features: inline.fontFeatures }),
    });
  }

  private drawSvg(placed: PlacedSvg): void {
    this.drawTagged(placed['tag'] as Tag | undefined, () => {
      svgToPdf(this.document, placed.svg, placed.x, placed.y, {
        width: placed._width,
        height: placed._height,
        assumePt: true,
        useCSS: false,
        fontCallback: (family: string, isBold: boolean, isItalic: boolean) =>
          this.document.useFont(family as Face, isBold, isItalic),
        // Only drawings made here are printed; nothing in them names a file or an address.
        imageCallback: (): string => {
          throw new Error('a drawing asked for an image');
        },
        documentCallback: null,
        warningCallback: (message: string): void => {
          throw new Error(`drawing: ${message}`);
        },
      });
    });
  }

  private drawTagged(tag: Tag | undefined, draw: () => void): void {
    if (tag === undefined) asArtifact(this.document, draw);
    else tag.mark(this.document, draw);
  }
}

/** Neighbours of one manner as one stretch: fewer operators, and text that copies as it reads. */
function joined(inlines: readonly SetInline[]): SetInline[] {
  const out: SetInline[] = [];
  for (const inline of inlines) {
    const last = out.at(-1);
    const isSame =
      last !== undefined &&
      last.font === inline.font &&
      last.fontSize === inline.fontSize &&
      last.color === inline.color &&
      last.shift === inline.shift &&
      last.fontFeatures === null &&
      inline.fontFeatures === null &&
      Math.abs(last.x + last.width - inline.x) < 0.01 &&
      !rightToLeft.test(last.text + inline.text);
    if (isSame) {
      last.text += inline.text;
      last.width += inline.width;
    } else {
      out.push({ ...inline });
    }
  }
  return out;
}

/**
 * A stretch of right-to-left words inside a left-to-right line runs from right to left (the order
 * within each word is the font's work): rule L2 of the bidirectional algorithm, word by word.
 *
 * @source Unicode Standard Annex #9, 3.4
 */
function inReadingOrder(inlines: readonly SetInline[]): readonly SetInline[] {
  if (!inlines.some((inline) => rightToLeft.test(inline.text))) return inlines;
  const out = [...inlines];
  for (let from = 0; from < out.length; from += 1) {
    if (!rightToLeft.test(out[from]?.text ?? '')) continue;
    let to = from;
    // Spaces, signs and figures between right-to-left words go with them.
    for (let at = from + 1; at < out.length && !leftToRight(out[at]?.text ?? ''); at += 1) {
      if (rightToLeft.test(out[at]?.text ?? '')) to = at;
    }
    const stretch = out.slice(from, to + 1);
    let x = stretch[0]?.x ?? 0;
    for (const [index, inline] of stretch.reverse().entries()) {
      out[from + index] = { ...inline, x };
      x += inline.width;
    }
    from = to;
  }
  return out;
}
