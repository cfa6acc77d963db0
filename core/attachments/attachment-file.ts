import { fail, ok, type Problem, type Result } from '../result.ts';
import { jpegParts, pngParts, type PictureParts } from './picture-parts.ts';

/** What may be attached to an entry. */
export const attachmentLimits = {
  /** Size of one file, bytes. */
  bytes: 10_000_000,
  /** Pixels of a picture: above any camera, below what opening it could take the memory for. */
  pixels: 60e6,
  /** Longer side of a picture, px. */
  side: 20_000,
  /** Files on one entry. */
  files: 60,
  name: 150,
} as const;

export const attachmentTypes = [
  'image/png',
  'image/jpeg',
  'application/pdf',
  'text/csv',
  'text/plain',
] as const;
export type AttachmentType = (typeof attachmentTypes)[number];

/** Endings, and what a file with that ending has to be. `jdx` and `dx` are spectra in JCAMP-DX, a text format. */
const typeOfEnding: Readonly<Record<string, AttachmentType>> = {
  png: 'image/png',
  jpg: 'image/jpeg',
  jpeg: 'image/jpeg',
  pdf: 'application/pdf',
  csv: 'text/csv',
  txt: 'text/plain',
  jdx: 'text/plain',
  dx: 'text/plain',
};
/** For a file picker. */
export const attachmentEndings: readonly string[] = Object.keys(typeOfEnding).map((ending) => `.${ending}`);

export interface JudgedFile {
  readonly name: string;
  readonly mediaType: AttachmentType;
  /** True for a photograph that says where it was taken; that is kept, but neither shown nor printed. */
  readonly hasPosition: boolean;
}

/** The last part of a path, without what could make it look like another name. */
export function attachmentName(typed: string): string {
  const last = typed.split(/[/\\]/).at(-1) ?? '';
  return last
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '')
    .trim();
}

/**
 * Looks at a file before it is attached: its size, what it really is, and for a picture how large it
 * would be, by its header alone.
 *
 * @error attachment-name, attachment-empty, attachment-too-large (facts most: bytes), attachment-kind
 *   (ending unknown), attachment-disguised (content is not what the ending says), attachment-damaged,
 *   attachment-too-many-pixels (facts width, height in px)
 */
export function judgeAttachment(typedName: string, bytes: Uint8Array): Result<JudgedFile, Problem> {
  const refuse = (code: string, facts: Problem['facts'] = {}): Result<JudgedFile, Problem> =>
    fail({ code, where: 'name', facts });
  const name = attachmentName(typedName);
  if (name === '' || name.length > attachmentLimits.name) return refuse('attachment-name');
  if (bytes.length === 0) return refuse('attachment-empty', { name });
  if (bytes.length > attachmentLimits.bytes) {
    return refuse('attachment-too-large', { name, most: attachmentLimits.bytes, size: bytes.length });
  }
  const ending = /\.([^.]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
  const mediaType = Object.hasOwn(typeOfEnding, ending) ? typeOfEnding[ending] : undefined;
  if (mediaType === undefined) return refuse('attachment-kind', { name });
  if (kindByContent(bytes) !== familyOf(mediaType)) return refuse('attachment-disguised', { name, ending });
  const picture = pictureParts(mediaType, bytes);
  if (picture === 'none') {
    const isWhole = mediaType !== 'application/pdf' || hasPdfEnd(bytes);
    return isWhole ? ok({ name, mediaType, hasPosition: false }) : refuse('attachment-damaged', { name });
  }
  if (picture === null) return refuse('attachment-damaged', { name });
  const { width, height } = picture;
  if (width < 1 || height < 1) return refuse('attachment-damaged', { name });
  if (width * height > attachmentLimits.pixels || Math.max(width, height) > attachmentLimits.side) {
    return refuse('attachment-too-many-pixels', { name, width, height });
  }
  return ok({ name, mediaType, hasPosition: picture.hasPosition });
}

/**
 * What is shown and printed of an attachment: pictures without anything but the picture, so that no
 * place, name or device goes out with a page. Other files as they are.
 */
export function shownBytes(mediaType: string, bytes: Uint8Array): Uint8Array {
  const picture = pictureParts(mediaType, bytes);
  return picture === 'none' || picture === null ? bytes : picture.shown;
}

/** 'none' for a file that is no picture, null for one that is damaged. */
function pictureParts(mediaType: string, bytes: Uint8Array): PictureParts | null | 'none' {
  if (mediaType === 'image/png') return pngParts(bytes);
  return mediaType === 'image/jpeg' ? jpegParts(bytes) : 'none';
}

type Family = 'png' | 'jpeg' | 'pdf' | 'text' | 'other';
const familyOf = (mediaType: AttachmentType): Family =>
  mediaType === 'image/png'
    ? 'png'
    : mediaType === 'image/jpeg'
      ? 'jpeg'
      : mediaType === 'application/pdf'
        ? 'pdf'
        : 'text';

const begins = (bytes: Uint8Array, head: readonly number[]): boolean =>
  head.every((byte, index) => bytes[index] === byte);

function kindByContent(bytes: Uint8Array): Family {
  if (begins(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'png';
  if (begins(bytes, [0xff, 0xd8, 0xff])) return 'jpeg';
  if (begins(bytes, [0x25, 0x50, 0x44, 0x46, 0x2d])) return 'pdf';
  // Text of any 8-bit kind: instruments write what they like, but no control characters.
  const isText = bytes.every((byte) => byte >= 32 || byte === 9 || byte === 10 || byte === 12 || byte === 13);
  return isText && !begins(bytes, [0xff, 0xfe]) && !begins(bytes, [0xfe, 0xff]) ? 'text' : 'other';
}

/** ISO 32000-1, 7.5.5: the last line is `%%EOF`; readers look for it within the last 1024 bytes. */
function hasPdfEnd(bytes: Uint8Array): boolean {
  const mark = [0x25, 0x25, 0x45, 0x4f, 0x46];
  for (let at = Math.max(0, bytes.length - 1024); at + mark.length <= bytes.length; at += 1) {
    if (mark.every((byte, index) => bytes[at + index] === byte)) return true;
  }
  return false;
}
