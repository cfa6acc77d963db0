import { createRequire } from 'node:module';

/**
 * The parts of pdfmake that lay out and draw, typed as far as they are used here. Its public
 * `createPdf` reads fonts and images by path or address, takes the document's own titles into the
 * XMP packet unescaped, and claims a tagged document without tagging anything; our subclasses of
 * these four classes put that right. They are private to pdfmake, so the version is pinned and
 * tests/electron/export looks at what comes out. Loaded with `require`: pdfmake must stay outside
 * the bundle, because pdfkit reads its colour profile from beside its own file.
 */
const load = createRequire(import.meta.url);
const take = (path: string): unknown => (load(path) as { default: unknown }).default;

export interface FontkitFont {
  readonly characterSet: readonly number[];
  hasGlyphForCodePoint(codePoint: number): boolean;
  layout(text: string, features?: readonly string[]): { readonly glyphs: readonly { readonly id: number }[] };
}

export interface PdfFont {
  readonly font: FontkitFont;
  readonly ascender: number;
  readonly descender: number;
  widthOfString(text: string, size: number, features?: readonly string[] | null): number;
  lineHeight(size: number): number;
}

export interface PdfReference {
  readonly data: Record<string, unknown>;
  end(chunk?: Uint8Array): void;
}

export interface StructureContent {
  readonly refs: readonly unknown[];
}
export interface StructureElement {
  add(child: StructureElement | StructureContent): StructureElement;
  end(): void;
}
export interface OutlineItem {
  readonly children: readonly OutlineItem[];
  readonly outlineData: Record<string, unknown>;
  addItem(text: string, options?: { fit?: boolean }): OutlineItem;
}

export interface PdfImage {
  readonly width: number;
  readonly height: number;
  readonly orientation?: number;
  /** Only of a PNG: null once its data are written. */
  readonly imgData?: Uint8Array | null;
  embed(document: PdfKitDocument): void;
}

export interface PdfKitDocument {
  readonly page: {
    readonly height: number;
    readonly dictionary: PdfReference;
    readonly annotations: PdfReference[];
    content: PdfReference;
  };
  readonly outline: OutlineItem;
  readonly _root: PdfReference;
  _font: PdfFont;
  info: Record<string, unknown>;
  fonts: Record<string, Record<string, string>>;
  images: Record<string, string>;
  _imageRegistry: Record<string, PdfImage>;
  _addInfo(): void;
  endAcroForm(): void;
  addPage(options: { size: [number, number] }): this;
  switchToPage(index: number): unknown;
  font(name: string): this;
  registerFont(name: string, bytes: Uint8Array): this;
  openImage(bytes: Uint8Array): PdfImage;
  provideFont(family: string, bold: boolean, italics: boolean): PdfFont;
  fontSize(size: number): this;
  fill(color: string): this;
  fillColor(color: string): this;
  strokeColor(color: string): this;
  lineWidth(width: number): this;
  moveTo(x: number, y: number): this;
  lineTo(x: number, y: number): this;
  rect(x: number, y: number, width: number, height: number): this;
  stroke(): this;
  undash(): this;
  text(text: string, x: number, y: number, options: Record<string, unknown>): this;
  goTo(x: number, y: number, width: number, height: number, name: string): this;
  addNamedDestination(name: string, kind: 'XYZ', x: number | null, y: number | null, zoom: null): void;
  addNamedEmbeddedFile(name: string, file: PdfReference): void;
  ref(data?: Record<string, unknown>): PdfReference;
  struct(type: string, options?: Record<string, unknown>): StructureElement;
  addStructure(element: StructureElement): this;
  markContent(tag: string, options?: Record<string, unknown>): this;
  markStructureContent(tag: string): StructureContent;
  endMarkedContent(): this;
  on(event: 'data', listener: (chunk: Uint8Array) => void): this;
  on(event: 'end', listener: () => void): this;
  on(event: 'error', listener: (error: Error) => void): this;
  end(): void;
}

/** A measured stretch of a line; what is set on a text node's runs is copied to it. */
export interface Inline {
  text: string;
  width: number;
  height: number;
  x: number;
  font: PdfFont;
  fontSize: number;
  color: string;
  fontFeatures: readonly string[] | null;
  leadingCut: number;
  trailingCut: number;
  characterSpacing: number;
  lineEnd?: boolean;
  noWrap?: boolean | null;
  noNewLine?: boolean;
  alignment?: string;
  justifyShift?: number;
  [extra: string]: unknown;
}

export interface PdfLine {
  x: number;
  y: number;
  inlines: Inline[];
  lastLineInParagraph?: boolean;
  newLineForced?: boolean;
  readonly maxWidth: number;
  addInline(inline: Inline): void;
  hasEnoughSpaceForInline(inline: Inline, next: readonly Inline[]): boolean;
  getAvailableWidth(): number;
  getHeight(): number;
  getAscenderHeight(): number;
}

export interface PlacedSvg {
  svg: string;
  x: number;
  y: number;
  _width: number;
  _height: number;
  [extra: string]: unknown;
}

export type PageItem =
  | { readonly type: 'line'; readonly item: PdfLine }
  | { readonly type: 'svg'; readonly item: PlacedSvg }
  | { readonly type: 'image' | 'vector'; readonly item: Record<string, unknown> }
  | {
      readonly type: 'beginClip' | 'endClip' | 'beginVerticalAlignment' | 'endVerticalAlignment';
      readonly item: never;
    };

export interface LaidOutPage {
  readonly items: readonly PageItem[];
}

/** A node of a pdfmake document definition; extra keys of ours travel with it. */
export type Node = Record<string, unknown>;

export interface LayoutContext {
  readonly y: number;
  readonly availableHeight: number;
  readonly availableWidth: number;
  readonly pageMargins: { readonly top: number };
  readonly snapshots: readonly unknown[];
}
export interface Layout {
  docMeasure: { textInlines: { measure: (inlines: Inline[]) => Inline[] } };
  tryLayoutDocument(content: Node, document: PdfKitDocument, ...rest: unknown[]): unknown;
  writer: {
    context(): LayoutContext;
    moveToNextPage(): void;
    addLine(line: PdfLine): unknown;
  };
  registerTableLayouts(layouts: Record<string, unknown>): void;
  layoutDocument(content: Node, document: PdfKitDocument, styles: Node, defaultStyle: Node): LaidOutPage[];
  processNode(node: Node, isVerticalAlignmentAllowed?: boolean): void;
  processLeaf(node: Node): void;
}

export interface Drawing {
  pdfDocument: PdfKitDocument;
  renderLine(line: PdfLine, x: number, y: number): void;
  renderVector(vector: Record<string, unknown>): void;
  renderImage(image: Record<string, unknown>): void;
}

type Size = { width: number; height: number };
type Sides = { left: number; right: number; top: number; bottom: number };

export const BaseLayout = take('pdfmake/js/LayoutBuilder') as new (
  pageSize: Size & { orientation: string },
  margins: Sides,
  svgMeasure: unknown,
) => Layout;
export const BaseRenderer = take('pdfmake/js/Renderer') as new (document: PdfKitDocument) => Drawing;
export const BaseDocument = take('pdfmake/js/PDFDocument') as new (
  fonts: Record<string, Record<string, string>>,
  images: Record<string, string>,
  patterns: Record<string, never>,
  attachments: Record<string, never>,
  options: Record<string, unknown>,
  virtualfs: null,
  localAccessPolicy: (path: string) => boolean,
) => PdfKitDocument;
export const Line = take('pdfmake/js/Line') as new (maxWidth: number) => PdfLine;
export const SvgMeasure = take('pdfmake/js/SVGMeasure') as new () => unknown;
export const svgToPdf = take('pdfmake/js/3rd-party/svg-to-pdfkit') as (
  document: PdfKitDocument,
  svg: string,
  x: number,
  y: number,
  options: Record<string, unknown>,
) => void;
