import { createHash } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import type { EmbeddedFile, ReportDocument } from '../../core/report/report-document.ts';
import own from '../../package.json' with { type: 'json' };
import type { Face, FontKey, FontSource } from './fonts.ts';
import { BaseDocument } from './pdfmake-internals.ts';
import { rangePlaceholder, sealRoom } from './seal-room.ts';
import type { OutlineItem, PdfFont, PdfImage } from './pdfmake-internals.ts';

export const producer = 'Fairleaf';
/** Program and version: pages are compared letter by letter only with those of the same version. */
export const printerName = `${producer} ${own.version}`;

const escapeXml = (text: string): string => text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** XML 1.0 has no place for most control characters, however escaped; lone surrogates are no text. */
const plainTitle = (text: string): string =>
  text
    .replace(/\p{Cc}+/gu, ' ')
    .toWellFormed()
    .trim();

const variant = (bold: boolean, italics: boolean): 'normal' | 'bold' | 'italics' | 'bolditalics' =>
  bold ? (italics ? 'bolditalics' : 'bold') : italics ? 'italics' : 'normal';

export interface ImageBytes {
  readonly bytes: Uint8Array;
  readonly mediaType: string;
}

/**
 * The PDF being written: PDF/A-3b, fonts and images from memory only, no file and no address read.
 * Its dates and its identifier come from the document, so that the same input gives the same bytes.
 */
export class PdfDocument extends BaseDocument {
  private readonly source: FontSource;
  private readonly pictures: ReadonlyMap<string, ImageBytes>;

  constructor(document: ReportDocument, source: FontSource, pictures: ReadonlyMap<string, ImageBytes>) {
    super({}, {}, {}, {}, options(document), null, () => false);
    this.source = source;
    this.pictures = pictures;
  }

  override provideFont(family: string, bold: boolean, italics: boolean): PdfFont {
    this.useFont(family as Face, bold, italics);
    return this._font;
  }

  /** Makes a face current and gives its name, which SVG drawing asks for. */
  useFont(face: Face, bold: boolean, italics: boolean): string {
    const key: FontKey = `${face}-${variant(bold, italics)}`;
    if (!this.registered.has(key)) {
      this.registered.add(key);
      this.registerFont(key, this.source(key));
    }
    this.font(key);
    return key;
  }
  private readonly registered = new Set<FontKey>();

  /** Images by their hash; pdfmake asks twice, once to measure and once to draw. */
  provideImage(sha256: string): PdfImage {
    const known = this._imageRegistry[sha256];
    if (known !== undefined) return known;
    const picture = this.pictures.get(sha256);
    if (picture === undefined) throw new Error(`image ${sha256} was not given`);
    const image = this.openImage(Buffer.from(picture.bytes));
    image.embed(this);
    this._imageRegistry[sha256] = image;
    return image;
  }

  /** Waits until a picture that is decoded in the background stands in the file. */
  async written(image: PdfImage): Promise<void> {
    const isWaiting = (): boolean => image.imgData !== undefined && image.imgData !== null;
    while (isWaiting()) await setImmediate();
  }

  /** Info strings go into the XMP packet as they are: give it escaped ones, and the plain ones to Info. */
  override _addInfo(): void {
    const plain = this.info;
    this.info = Object.fromEntries(
      Object.entries(plain).map(([key, value]) => [
        key,
        typeof value === 'string' ? escapeXml(value) : value,
      ]),
    );
    super._addInfo();
    this.info = plain;
  }

  /** A bookmark that leads to `y` (points from the top) on the current page. */
  addBookmark(under: OutlineItem, title: string, y: number): OutlineItem {
    const item = under.addItem(title);
    item.outlineData['Dest'] = [this.page.dictionary, 'XYZ', null, this.page.height - y, null];
    return item;
  }

  /**
   * Counts the bookmarks: every item with children has to say how many, negative while they are folded
   * away. A document of one part shows its sections at once.
   *
   * @source ISO 32000-1, 12.3.3, tables 152 and 153
   */
  countBookmarks(): void {
    const parts = this.outline.children;
    const isOpen = parts.length === 1;
    for (const part of parts) {
      const count = part.children.length;
      if (count > 0) part.outlineData['Count'] = isOpen ? count : -count;
    }
    if (parts.length > 0) {
      this.outline.outlineData['Count'] = parts.length + (isOpen ? (parts[0]?.children.length ?? 0) : 0);
    }
  }

  /**
   * Writes what is drawn on the current page and goes on in a second stream: header and footer are
   * drawn last, and keeping every page open until then takes ten times the memory.
   */
  closeContent(): void {
    const { page } = this;
    const body = page.content;
    body.end();
    page.content = this.ref();
    page.dictionary.data['Contents'] = [body, page.content];
  }

  /** pdfkit completes forms of its own making here; the seal's is complete. */
  override endAcroForm(): void {
    return;
  }

  /**
   * Writes a signature field with room for a seal that allows no later change, without appearance on
   * the page: the printed stamp and fingerprint say what it says.
   *
   * @returns the bytes that hold the room; they depend on the document and stand nowhere else in it
   * @source ISO 32000-1, 12.8.1 (signature dictionary), 12.8.2.2 (DocMDP), 12.7.4.5 (signature field)
   */
  reserveSeal(by: { readonly name: string; readonly reason: string }, at: Date): Uint8Array {
    const seed = JSON.stringify([this.info, by, at]);
    const parts = Array.from({ length: sealRoom / 32 }, (_, index) =>
      createHash('sha256').update(`${index}\n${seed}`).digest(),
    );
    const mark = Buffer.concat(parts);
    const signature = this.ref({
      Type: 'Sig',
      Filter: 'Adobe.PPKLite',
      SubFilter: 'ETSI.CAdES.detached',
      ByteRange: [0, rangePlaceholder, rangePlaceholder, rangePlaceholder],
      Contents: mark,
      M: at,
      Name: new String(by.name),
      Reason: new String(by.reason),
      Reference: [
        {
          Type: 'SigRef',
          TransformMethod: 'DocMDP',
          TransformParams: { Type: 'TransformParams', P: 1, V: '1.2' },
        },
      ],
    });
    signature.end();
    this.switchToPage(0);
    const appearance = this.ref({ Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 0, 0] });
    appearance.end(Buffer.from(' '));
    const field = this.ref({
      Type: 'Annot',
      Subtype: 'Widget',
      FT: 'Sig',
      T: new String('seal'),
      Rect: [0, 0, 0, 0],
      // Print and Locked.
      F: 132,
      P: this.page.dictionary,
      V: signature,
      AP: { N: appearance },
    });
    field.end();
    this.page.annotations.push(field);
    const root = this._root.data;
    const form = this.ref({ SigFlags: 3, Fields: [field] });
    form.end();
    root['AcroForm'] = form;
    root['Perms'] = { DocMDP: signature };
    return mark;
  }

  /**
   * Embeds a file as PDF/A-3 wants it: media type, dates, relationship, listed in the catalogue.
   * pdfkit's own way writes the checksum as hexadecimal text, where PDF 1.7 has 16 bytes.
   *
   * @source ISO 32000-1, 7.11.4 (checksum: table 46); ISO 19005-3, 6.8
   */
  embedFile(file: Omit<EmbeddedFile, 'text'>, bytes: Uint8Array, at: Date): void {
    const stream = this.ref({
      Type: 'EmbeddedFile',
      Subtype: file.mediaType.replace(/[^A-Za-z0-9.-]/g, (sign) => `#${sign.charCodeAt(0).toString(16)}`),
      Params: {
        CreationDate: at,
        ModDate: at,
        Size: bytes.length,
        CheckSum: createHash('md5').update(bytes).digest(),
      },
    });
    stream.end(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
    const name = new String(file.name);
    const specification = this.ref({
      Type: 'Filespec',
      AFRelationship: file.relationship,
      F: name,
      UF: name,
      EF: { F: stream, UF: stream },
      Desc: new String(file.description),
    });
    specification.end();
    this.addNamedEmbeddedFile(file.name, specification);
    const root = this._root.data as { AF?: unknown[] };
    (root.AF ??= []).push(specification);
  }
}

function options(document: ReportDocument): Record<string, unknown> {
  const info: Record<string, unknown> = {
    Title: plainTitle(document.title),
    Author: plainTitle(document.author),
    Subject: plainTitle(document.subject),
    Keywords: plainTitle(document.keywords),
    Creator: printerName,
    Producer: producer,
    CreationDate: new Date(document.createdAt),
  };
  // An empty string would be written as an empty entry, which then has no equal in the XMP packet.
  for (const key of Object.keys(info)) if (info[key] === '') delete info[key];
  return {
    pdfVersion: '1.7',
    subset: 'PDF/A-3b',
    tagged: true,
    displayTitle: true,
    lang: document.language,
    compress: true,
    // Pages stay open until the end: their number, and the index page, are known only then.
    bufferPages: true,
    autoFirstPage: false,
    fontLayoutCache: true,
    font: null,
    info,
  };
}
