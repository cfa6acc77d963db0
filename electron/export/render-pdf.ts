import { setImmediate } from 'node:timers/promises';
import type { Block, Drawn, ReportDocument, ReportPart } from '../../core/report/report-document.ts';
import { buildBlocks } from './blocks/build-blocks.ts';
import type { BlockContext } from './blocks/context.ts';
import { FlowLayout } from './flow-layout.ts';
import { installedFonts } from './fonts.ts';
import type { FontSource } from './fonts.ts';
import { headAndFoot, marginLine } from './furniture.ts';
import { printableSize } from './images.ts';
import type { ImageSize } from './images.ts';
import { PageDrawing } from './page-drawing.ts';
import { page as paper } from './palette.ts';
import { PdfDocument } from './pdf-document.ts';
import type { ImageBytes } from './pdf-document.ts';
import type { LaidOutPage, OutlineItem } from './pdfmake-internals.ts';
import type { SealKey } from './seal-certificate.ts';
import { StructureDrawer } from './structure-drawing.ts';
import { Tag } from './tags.ts';
import { Typesetter } from './typeset.ts';

export interface RenderOptions {
  /** Where font bytes come from; the installed files unless said otherwise. */
  readonly fonts?: FontSource;
  /** Attached pictures by their SHA-256. One that is missing or cannot be printed is named instead. */
  readonly images?: ReadonlyMap<string, ImageBytes>;
  /** The files of `carried`, by SHA-256. */
  readonly files?: ReadonlyMap<string, Uint8Array>;
  /** Seals the file with the department's certificate. A sealed file differs each time it is made. */
  readonly seal?: {
    readonly key: SealKey;
    readonly name: string;
    readonly reason: string;
    readonly at: Date;
  };
  /** Called with a fraction from 0 to 1 and what is being done. */
  readonly onProgress?: (fraction: number, stage: string) => void;
  /** Looked at between parts and between pages. */
  readonly signal?: AbortSignal;
}

/** Share of the time spent on laying out and drawing; the rest is writing the file. */
const drawingShare = 0.9;
const pagesBetweenPauses = 8;

/**
 * Prints a report as PDF/A-3b: the same document gives the same bytes.
 *
 * @throws the signal's reason when it is aborted; Error for a bug or an incomplete installation
 */
export async function renderPdf(report: ReportDocument, options: RenderOptions = {}): Promise<Uint8Array> {
  const { signal, onProgress = () => undefined } = options;
  signal?.throwIfAborted();
  const images = options.images ?? new Map<string, ImageBytes>();
  const document = new PdfDocument(report, options.fonts ?? installedFonts, images);
  const output = collect(document);
  const type = new Typesetter(document);
  const drawer = hasStructures(report) ? await StructureDrawer.load(type) : null;
  const sizes = await embedImages(report, images, document);
  const pages = new Map<string, number>();
  const shared = { type, drawer, imageSize: (sha256: string) => sizes.get(sha256) ?? null };

  const root = new Tag('Document', null);
  const book = new Book(document, type);
  const later: { part: ReportPart; section: Tag; place: Place }[] = [];
  for (const [index, part] of report.parts.entries()) {
    signal?.throwIfAborted();
    onProgress((drawingShare * index) / report.parts.length, part.bookmark);
    const section = root.child('Sect');
    section.elementIn(document);
    const hasIndex = part.blocks.some((block) => block.kind === 'index');
    const context: BlockContext = { ...shared, section, pageOf: () => '000' };
    const laidOut = new FlowLayout().pages(buildBlocks(part.blocks, context), document);
    const place = book.open(part, laidOut.length);
    pages.set(part.id, place.start + 1);
    if (hasIndex) later.push({ part, section, place });
    else await book.draw(laidOut, place, signal);
    await setImmediate();
  }
  for (const { part, section, place } of later) {
    const context: BlockContext = { ...shared, section, pageOf: (id) => String(pages.get(id) ?? '–') };
    const laidOut = new FlowLayout().pages(buildBlocks(part.blocks, context), document);
    // Page numbers are of one width, so the trial was as long; a page more could not be placed.
    await book.draw(laidOut.slice(0, place.count), place, signal);
  }
  onProgress(drawingShare, 'writing');
  book.furnish();
  const at = new Date(report.createdAt);
  for (const file of report.embedded) document.embedFile(file, Buffer.from(file.text, 'utf8'), at);
  for (const file of report.carried ?? []) {
    const bytes = options.files?.get(file.sha256);
    // The page says that it is inside.
    if (bytes === undefined) throw new Error(`the file ${file.name} was to be carried and is not there`);
    document.embedFile({ ...file, relationship: 'Supplement' }, bytes, at);
  }
  const room = options.seal === undefined ? null : document.reserveSeal(options.seal, options.seal.at);
  await setImmediate();
  signal?.throwIfAborted();
  document.end();
  const bytes = await output;
  const sealed =
    options.seal === undefined || room === null
      ? bytes
      : await (await import('./seal.ts')).fillSeal(bytes, room, options.seal.key);
  onProgress(1, 'done');
  return sealed;
}

/** The pages a part was given. */
interface Place {
  readonly start: number;
  readonly count: number;
  readonly bookmark: OutlineItem;
}

/** The pages of the document, each knowing the part it belongs to. */
class Book {
  private readonly parts: ReportPart[] = [];
  private readonly document: PdfDocument;
  private readonly drawing: PageDrawing;
  private readonly type: Typesetter;

  constructor(document: PdfDocument, type: Typesetter) {
    this.document = document;
    this.type = type;
    this.drawing = new PageDrawing(document);
  }

  /** Adds the part's empty pages, its bookmark and the place that links lead to. */
  open(part: ReportPart, count: number): Place {
    const start = this.parts.length;
    for (let index = 0; index < count; index += 1) {
      this.document.addPage({ size: [paper.width, paper.height] });
      marginLine(this.document);
      this.parts.push(part);
    }
    this.document.switchToPage(start);
    this.document.addNamedDestination(part.id, 'XYZ', null, null, null);
    return { start, count, bookmark: this.document.addBookmark(this.document.outline, part.bookmark, 0) };
  }

  async draw(laidOut: readonly LaidOutPage[], place: Place, signal: AbortSignal | undefined): Promise<void> {
    this.drawing.bookmarks = place.bookmark;
    for (const [index, one] of laidOut.entries()) {
      this.document.switchToPage(place.start + index);
      this.drawing.draw(one);
      this.document.closeContent();
      if (index % pagesBetweenPauses === pagesBetweenPauses - 1) {
        await setImmediate();
        signal?.throwIfAborted();
      }
    }
  }

  /** What can be drawn only when all pages are there. */
  furnish(): void {
    this.document.countBookmarks();
    this.parts.forEach((part, index) => {
      this.document.switchToPage(index);
      headAndFoot(part, index + 1, this.parts.length, this.drawing, this.document, this.type);
    });
  }
}

async function collect(document: PdfDocument): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  return new Promise((resolve, reject) => {
    document.on('data', (chunk) => chunks.push(chunk));
    document.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))));
    document.on('error', reject);
  });
}

function hasStructures(report: ReportDocument): boolean {
  const isDrawn = (one: Drawn): boolean => one.smiles !== null;
  return report.parts.some((part) =>
    part.blocks.some(
      (block: Block) => block.kind === 'reaction' && [...block.left, ...block.right].some(isDrawn),
    ),
  );
}

/** Embeds the printable pictures one after the other, so that their order in the file never varies. */
async function embedImages(
  report: ReportDocument,
  images: ReadonlyMap<string, ImageBytes>,
  document: PdfDocument,
): Promise<Map<string, ImageSize>> {
  const sizes = new Map<string, ImageSize>();
  for (const block of report.parts.flatMap((part) => part.blocks)) {
    if (block.kind !== 'image' || sizes.has(block.sha256)) continue;
    const given = images.get(block.sha256);
    if (given === undefined || printableSize(given.bytes, 1) === null) continue;
    const image = document.provideImage(block.sha256);
    const size = printableSize(given.bytes, image.orientation ?? 1);
    if (size !== null) sizes.set(block.sha256, size);
    await document.written(image);
  }
  return sizes;
}
