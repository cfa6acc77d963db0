import { crc32, inflateSync } from 'node:zlib';

/** Size of a picture that can be printed as it is. */
export interface ImageSize {
  readonly width: number;
  readonly height: number;
}

/** Decoding more would take gigabytes; a photograph of any camera is below. */
const mostPngPixels = 60e6;

/**
 * Looks at a picture before the PDF library does: that one decodes PNG in the background, where a
 * damaged file ends the process, and would embed a CMYK photograph, which PDF/A with an sRGB
 * output intent forbids.
 *
 * @returns its size, turned upright, or null when it is damaged, too large or of another kind
 * @source ISO/IEC 15948 (PNG), ISO/IEC 10918-1 annex B (JPEG), ISO 19005-3, 6.2.4
 */
export function printableSize(bytes: Uint8Array, orientation: number): ImageSize | null {
  const data = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    if (data.length > 8 && data.readUInt32BE(0) === 0x89504e47) return pngSize(data);
    if (data.length > 4 && data.readUInt16BE(0) === 0xffd8) return jpegSize(data, orientation);
  } catch {
    // A length that points past the end, data that do not inflate: damaged.
  }
  return null;
}

function pngSize(data: Buffer): ImageSize | null {
  let at = 8;
  let header: { width: number; height: number; lineBytes: number; isInterlaced: boolean } | null = null;
  const parts: Buffer[] = [];
  let isEnded = false;
  while (at + 12 <= data.length && !isEnded) {
    const length = data.readUInt32BE(at);
    const chunk = data.subarray(at + 4, at + 8 + length);
    const type = chunk.toString('latin1', 0, 4);
    if (crc32(chunk) !== data.readUInt32BE(at + 8 + length)) return null;
    const content = chunk.subarray(4);
    if (type === 'IHDR') header = pngHeader(content);
    else if (type === 'IDAT') parts.push(content);
    else if (type === 'IEND') isEnded = true;
    at += 12 + length;
  }
  if (header === null || !isEnded) return null;
  const { width, height, lineBytes, isInterlaced } = header;
  if (width < 1 || height < 1 || width * height > mostPngPixels) return null;
  const expected = height * (1 + lineBytes);
  // Interlaced lines come in seven passes, each with its own filter bytes: a little longer.
  const pixels = inflateSync(Buffer.concat(parts), {
    maxOutputLength: isInterlaced ? expected * 2 + 64 : expected,
  });
  return isInterlaced || pixels.length === expected ? { width, height } : null;
}

function pngHeader(content: Buffer): {
  width: number;
  height: number;
  lineBytes: number;
  isInterlaced: boolean;
} {
  const width = content.readUInt32BE(0);
  const bits = content.readUInt8(8);
  const channels = [1, 0, 3, 1, 2, 0, 4][content.readUInt8(9)] ?? 0;
  return {
    width,
    height: content.readUInt32BE(4),
    lineBytes: Math.ceil((width * bits * channels) / 8),
    isInterlaced: content.readUInt8(12) === 1,
  };
}

function jpegSize(data: Buffer, orientation: number): ImageSize | null {
  if (!data.subarray(-64).includes(Buffer.from([0xff, 0xd9]))) return null;
  let at = 2;
  while (at + 9 < data.length) {
    if (data[at] !== 0xff) return null;
    const marker = data.readUInt8(at + 1);
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) {
      const bits = data.readUInt8(at + 4);
      const height = data.readUInt16BE(at + 5);
      const width = data.readUInt16BE(at + 7);
      const channels = data.readUInt8(at + 9);
      if (bits !== 8 || (channels !== 1 && channels !== 3) || width < 1 || height < 1) return null;
      return orientation > 4 ? { width: height, height: width } : { width, height };
    }
    at += 2 + data.readUInt16BE(at + 2);
  }
  return null;
}
