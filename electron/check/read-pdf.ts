import { inflateSync } from 'node:zlib';
import {
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFHexString,
  PDFName,
  PDFRawStream,
  PDFRef,
  PDFString,
  type PDFObject,
} from 'pdf-lib';
import { bundleFileName } from '../../core/record/bundle.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';

/** The largest PDF that is read, and the largest file inside it, bytes. */
export const pdfLimits = { file: 512 * 2 ** 20, attachment: 256 * 2 ** 20, names: 10_000 } as const;

export interface PdfAttachment {
  readonly name: string;
  readonly data: Uint8Array;
}

/** The record a PDF carries, and what other files stand beside it. */
export interface PdfRecord {
  readonly text: string;
  readonly others: readonly PdfAttachment[];
}

const problem = (code: string, facts: Problem['facts'] = {}): Result<never, Problem> =>
  fail({ code, where: '', facts });

/**
 * The files a PDF carries: the entries of its EmbeddedFiles name tree (ISO 32000-1 §7.11.4). Nothing
 * is run, drawn or followed.
 *
 * @error too-large, not-a-pdf, pdf-encrypted, attachment-too-large
 */
export async function readPdfAttachments(
  bytes: Uint8Array,
): Promise<Result<readonly PdfAttachment[], Problem>> {
  if (bytes.length > pdfLimits.file) return problem('too-large');
  let document: PDFDocument;
  try {
    document = await PDFDocument.load(bytes, {
      updateMetadata: false,
      throwOnInvalidObject: true,
      ignoreEncryption: true,
    });
  } catch {
    return problem('not-a-pdf');
  }
  if (document.isEncrypted) return problem('pdf-encrypted');
  try {
    return ok(readNames(document));
  } catch (error) {
    if (error instanceof TooLarge) return problem('attachment-too-large', { name: error.message });
    return problem('not-a-pdf');
  }
}

class TooLarge extends Error {}

function readNames(document: PDFDocument): readonly PdfAttachment[] {
  const names = document.catalog.lookupMaybe(PDFName.of('Names'), PDFDict);
  const root = names?.lookupMaybe(PDFName.of('EmbeddedFiles'), PDFDict);
  const list: PdfAttachment[] = [];
  const seen = new Set<PDFObject>();
  const pending = root === undefined ? [] : [root];
  // A name tree may be deep or, in a hostile file, circular.
  for (let node = pending.pop(); node !== undefined; node = pending.pop()) {
    if (seen.has(node) || seen.size > pdfLimits.names) throw new Error('name tree');
    seen.add(node);
    const kids = node.lookupMaybe(PDFName.of('Kids'), PDFArray);
    for (let i = 0; i < (kids?.size() ?? 0); i += 1) {
      const kid = kids?.lookupMaybe(i, PDFDict);
      if (kid !== undefined) pending.push(kid);
    }
    const pairs = node.lookupMaybe(PDFName.of('Names'), PDFArray);
    for (let i = 0; i + 1 < (pairs?.size() ?? 0); i += 2) {
      const specification = pairs?.lookupMaybe(i + 1, PDFDict);
      const attachment = specification === undefined ? null : readFile(document, specification);
      if (attachment !== null) list.push(attachment);
    }
  }
  return list;
}

function readFile(document: PDFDocument, specification: PDFDict): PdfAttachment | null {
  const name =
    specification.lookupMaybe(PDFName.of('UF'), PDFString, PDFHexString) ??
    specification.lookupMaybe(PDFName.of('F'), PDFString, PDFHexString);
  const files = specification.lookupMaybe(PDFName.of('EF'), PDFDict);
  const target = files?.get(PDFName.of('F')) ?? files?.get(PDFName.of('UF'));
  const stream = target instanceof PDFRef ? document.context.lookup(target) : target;
  if (name === undefined || !(stream instanceof PDFRawStream)) return null;
  const text = name.decodeText();
  return { name: text, data: content(stream, text) };
}

function content(stream: PDFRawStream, name: string): Uint8Array {
  const filter = stream.dict.lookup(PDFName.of('Filter'));
  const only = filter instanceof PDFArray && filter.size() === 1 ? filter.lookup(0) : filter;
  if (filter === undefined || (filter instanceof PDFArray && filter.size() === 0)) {
    if (stream.contents.length > pdfLimits.attachment) throw new TooLarge(name);
    return stream.contents;
  }
  if (only !== PDFName.of('FlateDecode')) throw new Error('filter');
  try {
    return inflateSync(stream.contents, { maxOutputLength: pdfLimits.attachment });
  } catch (error) {
    if ((error as { code?: unknown }).code === 'ERR_BUFFER_TOO_LARGE') throw new TooLarge(name);
    throw error;
  }
}

/**
 * The bundle a bound PDF carries. Exactly one file of its name: with two, a reader and a checker
 * might look at different ones.
 *
 * @error those of `readPdfAttachments`; no-record-inside, two-records-inside, not-utf8
 */
export async function readPdfBundle(bytes: Uint8Array): Promise<Result<PdfRecord, Problem>> {
  const attachments = await readPdfAttachments(bytes);
  if (!attachments.ok) return attachments;
  const ours = attachments.value.filter((file) => file.name === bundleFileName);
  if (ours.length === 0) return problem('no-record-inside');
  if (ours.length > 1) return problem('two-records-inside', { count: ours.length });
  try {
    return ok({
      text: new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(ours[0]?.data),
      others: attachments.value.filter((file) => file.name !== bundleFileName),
    });
  } catch {
    return problem('not-utf8');
  }
}
