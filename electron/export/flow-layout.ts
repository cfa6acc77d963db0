import { BaseLayout, Line, SvgMeasure } from './pdfmake-internals.ts';
import type { Inline, LaidOutPage, Node, PdfLine } from './pdfmake-internals.ts';
import { page } from './palette.ts';
import type { PdfDocument } from './pdf-document.ts';
import type { Piece } from './typeset.ts';

interface TextNode extends Node {
  _inlines?: Inline[];
  /** Index of the next inline; pdfmake takes them off the front, which is quadratic for a long note. */
  next?: number;
  positions: unknown[];
}

/**
 * pdfmake's layout with three rules of good setting added:
 * a node with `needs` (points) moves to the next page when less is left, so that a heading stays
 * with what follows; a paragraph with `flow` leaves no single line behind or ahead; a word too long
 * for a line is cut between characters, never inside one.
 */
export class FlowLayout extends BaseLayout {
  constructor() {
    super(
      { width: page.width, height: page.height, orientation: 'portrait' },
      { left: page.left, right: page.right, top: page.top, bottom: page.bottom },
      new SvgMeasure(),
    );
  }

  pages(content: Node[], document: PdfDocument): LaidOutPage[] {
    return this.layoutDocument({ stack: content }, document, {}, { font: 'serif', fontSize: 10 });
  }

  override tryLayoutDocument(content: Node, document: PdfDocument, ...rest: unknown[]): unknown {
    this.docMeasure.textInlines.measure = (inlines) => measured(inlines, document);
    return super.tryLayoutDocument(content, document, ...rest);
  }

  override processNode(node: Node, isVerticalAlignmentAllowed?: boolean): void {
    const needs = node['needs'];
    const context = this.writer.context();
    if (typeof needs === 'number' && context.snapshots.length === 0) {
      const isAtTop = context.y <= context.pageMargins.top + 0.5;
      if (!isAtTop && context.availableHeight < needs) this.writer.moveToNextPage();
      const margin = node['_margin'] as number[] | null;
      // Space above a heading separates it from what stands before; at the top nothing does.
      if (margin !== null && this.writer.context().y <= context.pageMargins.top + 0.5) margin[1] = 0;
    }
    super.processNode(node, isVerticalAlignmentAllowed);
  }

  override processLeaf(node: TextNode): void {
    if (node['flow'] !== true) {
      super.processLeaf(node);
      return;
    }
    const lines: PdfLine[] = [];
    for (let line = this.buildNextLine(node); line !== null; line = this.buildNextLine(node))
      lines.push(line);
    let from = 0;
    while (from < lines.length) {
      const count = this.fitting(lines, from);
      for (const line of lines.slice(from, from + count)) node.positions.push(this.writer.addLine(line));
      from += count;
      if (from < lines.length) this.writer.moveToNextPage();
    }
  }

  /** How many of the lines to set on this page; 0 to begin on the next. */
  private fitting(lines: readonly PdfLine[], from: number): number {
    const context = this.writer.context();
    const left = lines.length - from;
    let height = 0;
    let count = 0;
    while (count < left) {
      height += (lines[from + count] as PdfLine).getHeight();
      if (height > context.availableHeight) break;
      count += 1;
    }
    const isAtTop = context.y <= context.pageMargins.top + 0.5;
    if (count === left) return count;
    if (isAtTop) return Math.max(1, left - count === 1 && count > 2 ? count - 1 : count);
    if (left - count === 1) count -= 1;
    return count < 2 ? 0 : count;
  }

  buildNextLine(node: TextNode): PdfLine | null {
    const inlines = node._inlines;
    let next = node.next ?? 0;
    if (inlines === undefined || next >= inlines.length) return null;
    const line = new Line(this.writer.context().availableWidth);
    let isForced = false;
    for (;;) {
      const inline = inlines[next];
      if (inline === undefined) break;
      if (!isForced && !line.hasEnoughSpaceForInline(inline, unbroken(inlines, next))) break;
      const rest = cut(inline, line.getAvailableWidth());
      line.addInline(inline);
      if (rest !== null) {
        inlines[next] = rest;
        break;
      }
      next += 1;
      isForced = inline.noNewLine === true;
    }
    node.next = next;
    line.lastLineInParagraph = next >= inlines.length;
    return line;
  }
}

/**
 * Widths and heights of the words of a text. pdfmake asks its style stack twenty times for each word;
 * our pieces carry everything themselves (`Piece`), so that a third of the layout time is saved.
 */
function measured(inlines: Inline[], document: PdfDocument): Inline[] {
  for (const inline of inlines) {
    const piece = inline as unknown as Partial<Piece>;
    // What fills an empty field of a grid is no piece of ours.
    const font = document.provideFont(piece.font ?? 'serif', piece.bold ?? false, piece.italics ?? false);
    inline.fontSize ??= 1;
    inline.color ??= 'black';
    inline.fontFeatures ??= null;
    inline.font = font;
    inline.characterSpacing = 0;
    inline.width = font.widthOfString(inline.text, inline.fontSize, inline.fontFeatures);
    inline.height = font.lineHeight(inline.fontSize) * (piece.lineHeight ?? 1);
    inline.leadingCut = 0;
    // Not the no-break spaces: they stand inside what must not be parted.
    const trailing = /[ \t\n]+$/.exec(inline.text);
    inline.trailingCut =
      trailing === null ? 0 : font.widthOfString(trailing[0], inline.fontSize, inline.fontFeatures);
  }
  return inlines;
}

/** The inlines after `at` that may not be parted from it. */
function unbroken(inlines: readonly Inline[], at: number): readonly Inline[] {
  let end = at;
  while (inlines[end]?.noNewLine === true) end += 1;
  return end === at ? [] : inlines.slice(at + 1, end + 1);
}

/** Cuts a word that is longer than the room left; gives back what is left of it, or null. */
function cut(inline: Inline, room: number): Inline | null {
  if (inline.text.length < 2 || inline.width - inline.trailingCut <= room) return null;
  const measure = (text: string): number =>
    inline.font.widthOfString(text, inline.fontSize, inline.fontFeatures);
  const signs = [...inline.text];
  let low = 1;
  let high = signs.length;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (measure(signs.slice(0, middle).join('')) <= room) low = middle;
    else high = middle - 1;
  }
  if (low >= signs.length) return null;
  const rest: Inline = { ...inline, text: signs.slice(low).join(''), leadingCut: 0 };
  rest.width = measure(rest.text);
  inline.text = signs.slice(0, low).join('');
  inline.width = measure(inline.text);
  inline.trailingCut = 0;
  inline.noNewLine = false;
  return rest;
}
