import { inflateSync } from 'node:zlib';
import {
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFName,
  PDFRawStream,
  PDFRef,
  type PDFObject,
  type PDFPage,
} from 'pdf-lib';

/** The largest stream that is unpacked, bytes. */
const mostBytes = 256 * 2 ** 20;

/** Where a page lies in the tree, and its place in the tags: not what is on it. */
const elsewhere = new Set([
  'Parent',
  'P',
  'StructParent',
  'StructParents',
  'Length',
  'Filter',
  'DecodeParms',
]);

/**
 * Whether two PDFs draw the same pages: content, fonts, pictures and links, unpacked and followed
 * through. Equal means that what is seen is the same, in every reader.
 *
 * @returns the index of the first page that differs, or null
 */
export async function firstPageDrawnOtherwise(a: Uint8Array, b: Uint8Array): Promise<number | null> {
  const [left, right] = await Promise.all(
    [a, b].map((bytes) => PDFDocument.load(bytes, { updateMetadata: false })),
  );
  if (left === undefined || right === undefined) return 0;
  const comparison = new Comparison(left, right);
  const pages = [left.getPages(), right.getPages()] as const;
  for (let index = 0; index < Math.max(pages[0].length, pages[1].length); index += 1) {
    const [one, other] = [pages[0][index], pages[1][index]];
    if (one === undefined || other === undefined || !comparison.samePage(one, other)) return index;
  }
  return null;
}

class Comparison {
  readonly #left: PDFDocument;
  readonly #right: PDFDocument;
  /** Pairs already found alike, or being compared: a PDF may refer in circles. */
  readonly #alike = new Set<string>();

  constructor(left: PDFDocument, right: PDFDocument) {
    this.#left = left;
    this.#right = right;
  }

  samePage(left: PDFPage, right: PDFPage): boolean {
    return this.#sameDict(left.node, right.node);
  }

  #same(a: PDFObject | undefined, b: PDFObject | undefined): boolean {
    if (a instanceof PDFRef && b instanceof PDFRef) {
      const pair = `${a.tag}/${b.tag}`;
      if (this.#alike.has(pair)) return true;
      this.#alike.add(pair);
    }
    const left = a instanceof PDFRef ? this.#left.context.lookup(a) : a;
    const right = b instanceof PDFRef ? this.#right.context.lookup(b) : b;
    if (left === undefined || right === undefined) return left === right;
    if (left instanceof PDFRawStream) return right instanceof PDFRawStream && this.#sameStream(left, right);
    if (left instanceof PDFDict) {
      if (!(right instanceof PDFDict)) return false;
      // Another page is compared in its own turn.
      if (typeOf(left) === 'Page') return typeOf(right) === 'Page';
      return this.#sameDict(left, right);
    }
    if (left instanceof PDFArray) return right instanceof PDFArray && this.#sameList(left, right);
    return left.toString() === right.toString();
  }

  #sameList(left: PDFArray, right: PDFArray): boolean {
    const [one, other] = [this.#withoutSeal(left, this.#left), this.#withoutSeal(right, this.#right)];
    return one.length === other.length && one.every((value, index) => this.#same(value, other[index]));
  }

  /** The field of the department's seal shows nothing and is checked as a seal. */
  #withoutSeal(list: PDFArray, document: PDFDocument): readonly PDFObject[] {
    return list.asArray().filter((value) => {
      const object = value instanceof PDFRef ? document.context.lookup(value) : value;
      return !(
        object instanceof PDFDict &&
        object.get(PDFName.of('FT')) === PDFName.of('Sig') &&
        isInvisible(object)
      );
    });
  }

  #sameDict(left: PDFDict, right: PDFDict): boolean {
    const keys = (dict: PDFDict, document: PDFDocument): readonly PDFName[] =>
      dict.keys().filter((key) => {
        if (elsewhere.has(key.decodeText())) return false;
        // A list of links that holds nothing but the seal is as good as none.
        const list = key === PDFName.of('Annots') ? dict.lookup(key) : null;
        return !(list instanceof PDFArray && this.#withoutSeal(list, document).length === 0);
      });
    const [one, other] = [keys(left, this.#left), keys(right, this.#right)];
    return one.length === other.length && one.every((key) => this.#same(left.get(key), right.get(key)));
  }

  #sameStream(left: PDFRawStream, right: PDFRawStream): boolean {
    if (!this.#sameDict(left.dict, right.dict)) return false;
    return Buffer.compare(unpacked(left), unpacked(right)) === 0;
  }
}

const typeOf = (dict: PDFDict): string | undefined => {
  const type = dict.get(PDFName.of('Type'));
  return type instanceof PDFName ? type.decodeText() : undefined;
};

function isInvisible(field: PDFDict): boolean {
  const place = field.lookup(PDFName.of('Rect'));
  return place instanceof PDFArray && place.asArray().every((side) => side.toString() === '0');
}

function unpacked(stream: PDFRawStream): Uint8Array {
  const filter = stream.dict.lookup(PDFName.of('Filter'));
  const only = filter instanceof PDFArray && filter.size() === 1 ? filter.lookup(0) : filter;
  const isFlate = only === PDFName.of('FlateDecode') && !stream.dict.has(PDFName.of('DecodeParms'));
  return isFlate ? inflateSync(stream.contents, { maxOutputLength: mostBytes }) : stream.contents;
}
