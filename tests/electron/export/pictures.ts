import { crc32, deflateSync } from 'node:zlib';

/** Pictures made here, so that the tests need no file: ISO/IEC 15948 chunk by chunk. */

const chunk = (type: string, data: Buffer): Buffer => {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc32(body), body.length + 4);
  return out;
};

const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);

interface PngOptions {
  readonly width?: number;
  readonly height?: number;
  /** 0 grey, 2 colour, 3 palette, 6 colour with alpha. */
  readonly colourType?: 0 | 2 | 3 | 6;
  readonly seed?: number;
}

export function png({ width = 24, height = 16, colourType = 2, seed = 1 }: PngOptions = {}): Buffer {
  const channels = { 0: 1, 2: 3, 3: 1, 6: 4 }[colourType];
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, colourType, 0, 0, 0], 8);
  const rows = Buffer.alloc(height * (1 + width * channels));
  for (let index = 0; index < rows.length; index += 1) {
    const isFilter = index % (1 + width * channels) === 0;
    rows[index] = isFilter ? 0 : (index * 7 * seed) % (colourType === 3 ? 2 : 256);
  }
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    ...(colourType === 3 ? [chunk('PLTE', Buffer.from([0, 0, 0, 255, 255, 255]))] : []),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** A PNG that says it is huge and holds next to nothing. */
export function boastingPng(): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(50_000, 0);
  header.writeUInt32BE(50_000, 4);
  header.set([8, 2, 0, 0, 0], 8);
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(Buffer.alloc(100))),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** 16 × 12, three channels; a gradient made by a drawing program. */
export const jpeg = Buffer.from(
  '/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAA0JCgsKCA0LCgsODg0PEyAVExISEyccHhcgLikxMC4pLSwzOko+MzZGNywtQFdBRkxOUlNSMj5aYVpQYEpRUk//2wBDAQ4ODhMREyYVFSZPNS01T09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT0//wAARCAAMABADASIAAhEBAxEB/8QAFgABAQEAAAAAAAAAAAAAAAAAAAUG/8QAGRAAAQUAAAAAAAAAAAAAAAAAAAISFFFh/8QAFQEBAQAAAAAAAAAAAAAAAAAABQb/xAAXEQADAQAAAAAAAAAAAAAAAAAAAxUW/9oADAMBAAIRAxEAPwDLSNEjSa9Vh6rKPPqFbbD/2Q==',
  'base64',
);
/** The same with four channels, as a press would have it. */
export const cmykJpeg = Buffer.from(
  '/9j/7gAOQWRvYmUAZAAAAAAC/9sAQwANCQoLCggNCwoLDg4NDxMgFRMSEhMnHB4XIC4pMTAuKS0sMzpKPjM2RjcsLUBXQUZMTlJTUjI+WmFaUGBKUVJP/9sAQwEODg4TERMmFRUmTzUtNU9PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09PT09P/8AAFAgADAAQBAEiAAIRAQMRAQQiAP/EABYAAQEBAAAAAAAAAAAAAAAAAAAFBv/EABwQAAEEAwEAAAAAAAAAAAAAAAACAwRSEhMVkf/EABUBAQEAAAAAAAAAAAAAAAAAAAUG/8QAGREAAgMBAAAAAAAAAAAAAAAAABYCBFFS/9oADgQBAAIRAxEEAAA/ALOblFeDNyivC/obqNDdSVYLWgS7Ho0fek0WO9Jos0HOjUHOjUP/2Q==',
  'base64',
);
