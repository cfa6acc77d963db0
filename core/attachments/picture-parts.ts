/** Width and height of a picture as its header says, px. */
export interface PictureHead {
  readonly width: number;
  readonly height: number;
}

/** A picture taken apart without decoding it. */
export interface PictureParts extends PictureHead {
  /** The same picture with nothing but what is needed to show it. */
  readonly shown: Uint8Array;
  /** True when the file says where it was taken. */
  readonly hasPosition: boolean;
}

const latin1 = (bytes: Uint8Array): string => {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
};

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** Chunks that decide how a PNG looks; texts, times and EXIF stay out. */
const shownChunks: ReadonlySet<string> = new Set(
  'IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP sBIT pHYs bKGD'.split(' '),
);

/**
 * @returns null for what is no whole PNG
 * @source ISO/IEC 15948:2004, 5.3 (chunks), 11.2.2 (IHDR); the eXIf chunk of the 2017 extensions
 */
export function pngParts(bytes: Uint8Array): PictureParts | null {
  const view = viewOf(bytes);
  const kept: Uint8Array[] = [bytes.subarray(0, 8)];
  let head: PictureHead | null = null;
  let hasPosition = false;
  for (let at = 8; at + 12 <= bytes.length;) {
    const length = view.getUint32(at);
    const end = at + 12 + length;
    if (end > bytes.length) return null;
    const type = latin1(bytes.subarray(at + 4, at + 8));
    const content = bytes.subarray(at + 8, at + 8 + length);
    if (head === null && type !== 'IHDR') return null;
    if (type === 'IHDR') {
      if (head !== null || length !== 13) return null;
      head = { width: view.getUint32(at + 8), height: view.getUint32(at + 12) };
    } else if (type === 'eXIf') hasPosition ||= readExif(content).hasPosition;
    else if (type === 'iTXt' || type === 'tEXt') hasPosition ||= latin1(content).includes('GPSLatitude');
    if (shownChunks.has(type)) kept.push(bytes.subarray(at, end));
    if (type === 'IEND') return head === null ? null : { ...head, hasPosition, shown: joined(kept) };
    at = end;
  }
  return null;
}

const exifMark = 'Exif\0\0';

/**
 * @returns null for what is no whole JPEG: one that ends in the middle is damaged
 * @source ISO/IEC 10918-1, annex B (markers); Exif 2.32, 4.5.4 and 4.6 (APP1, orientation, GPS)
 */
export function jpegParts(bytes: Uint8Array): PictureParts | null {
  const view = viewOf(bytes);
  const kept: Uint8Array[] = [bytes.subarray(0, 2)];
  let head: PictureHead | null = null;
  let hasPosition = false;
  let orientation = 1;
  let at = 2;
  while (at + 2 <= bytes.length) {
    if (bytes[at] !== 0xff) return null;
    const marker = view.getUint8(at + 1);
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    if (marker === 0xd9) {
      if (head === null) return null;
      // What a telephone puts behind the picture, a film perhaps, has its own position.
      kept.push(bytes.subarray(at, at + 2));
      if (orientation !== 1) kept.splice(1, 0, orientationSegment(orientation));
      return { ...head, hasPosition, shown: joined(kept) };
    }
    if (at + 4 > bytes.length) return null;
    let end = at + 2 + view.getUint16(at + 2);
    if (end > bytes.length || end < at + 4) return null;
    const content = bytes.subarray(at + 4, end);
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) {
      if (content.length < 6) return null;
      head ??= { height: view.getUint16(at + 5), width: view.getUint16(at + 7) };
    }
    if (marker === 0xe1) {
      const text = latin1(content);
      if (text.startsWith(exifMark)) {
        const exif = readExif(content.subarray(exifMark.length));
        hasPosition ||= exif.hasPosition;
        orientation = exif.orientation ?? orientation;
      } else hasPosition ||= text.includes('GPSLatitude');
    }
    // After a scan header the coded picture follows, up to the next marker that is none of its own.
    if (marker === 0xda) end = endOfScan(bytes, end);
    if (isShown(marker, content)) kept.push(bytes.subarray(at, end));
    at = end;
  }
  return null;
}

function isShown(marker: number, content: Uint8Array): boolean {
  const isApplication = marker >= 0xe0 && marker <= 0xef;
  if (!isApplication) return marker !== 0xfe;
  if (marker === 0xe0) return latin1(content.subarray(0, 4)) === 'JFIF';
  if (marker === 0xe2) return latin1(content.subarray(0, 11)) === 'ICC_PROFILE';
  return marker === 0xee;
}

function endOfScan(bytes: Uint8Array, from: number): number {
  for (let at = from; at + 1 < bytes.length; at += 1) {
    if (bytes[at] !== 0xff) continue;
    const next = bytes[at + 1] ?? 0;
    if (next !== 0 && next !== 0xff && !(next >= 0xd0 && next <= 0xd7)) return at;
  }
  return bytes.length;
}

const orientationTag = 0x0112;
const gpsTag = 0x8825;

/** Reads the two things of EXIF that matter here; a broken block says nothing. */
function readExif(tiff: Uint8Array): { readonly orientation: number | null; readonly hasPosition: boolean } {
  const result = { orientation: null as number | null, hasPosition: false };
  if (tiff.length < 8) return result;
  const view = viewOf(tiff);
  const isLittle = latin1(tiff.subarray(0, 2)) === 'II';
  const first = view.getUint32(4, isLittle);
  if (first + 2 > tiff.length) return result;
  const count = view.getUint16(first, isLittle);
  for (let index = 0; index < count; index += 1) {
    const at = first + 2 + index * 12;
    if (at + 12 > tiff.length) break;
    const tag = view.getUint16(at, isLittle);
    if (tag === gpsTag) result.hasPosition = true;
    if (tag !== orientationTag) continue;
    const value = view.getUint16(at + 8, isLittle);
    if (value >= 1 && value <= 8) result.orientation = value;
  }
  return result;
}

/** An EXIF block that says which way up, and nothing else. */
function orientationSegment(orientation: number): Uint8Array {
  const tiff = [
    0x4d,
    0x4d,
    0,
    42,
    0,
    0,
    0,
    8,
    0,
    1,
    1,
    0x12,
    0,
    3,
    0,
    0,
    0,
    1,
    0,
    orientation,
    0,
    0,
    0,
    0,
    0,
    0,
  ];
  const mark = [...exifMark].map((letter) => letter.charCodeAt(0));
  return Uint8Array.from([0xff, 0xe1, 0, 2 + mark.length + tiff.length, ...mark, ...tiff]);
}
