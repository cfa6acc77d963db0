import { createReadStream } from 'node:fs';
import { Readable, Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';

/** The earliest day a zip can name: the same content gives the same bytes, whenever it is written. */
const mtime = new Date(1980, 0, 1);

export interface ArchiveFile {
  /** With `/`, relative, plain ASCII. */
  readonly path: string;
  readonly data: Uint8Array;
}

/** A file too long to be held in memory: it is read from the disk while it is packed. */
export interface LongFile {
  readonly path: string;
  /** Where it stands. */
  readonly from: string;
  readonly sizeBytes: number;
}

/** Text and JSON shrink; pictures, PDFs and zips are compressed already. */
const shrinks = (path: string): boolean => /\.(json|txt|pem|csv)$/.test(path) || path.includes('/objects/');

const chunkBytes = 2 ** 16;

function* pieces(data: Uint8Array): Generator<Buffer> {
  const buffer = Buffer.from(data.buffer, data.byteOffset, data.byteLength);
  for (let at = 0; at < buffer.length; at += chunkBytes) yield buffer.subarray(at, at + chunkBytes);
}

/**
 * Adds one file and waits until it was read. yazl keeps what it is given until the whole zip is
 * written, so it is given a stream each time: when that has run dry, nothing holds the content.
 */
function add(zip: ZipFile, file: ArchiveFile | LongFile): Promise<void> {
  return new Promise<void>((resolve, reject) => {
    let source: (() => Readable) | null =
      'data' in file ? () => Readable.from(pieces(file.data)) : () => createReadStream(file.from);
    const options = { mtime, mode: 0o100644, compress: shrinks(file.path) };
    zip.addReadStreamLazy(file.path, options, (give) => {
      if (source === null) return;
      const stream = source();
      source = null;
      stream.once('error', reject).once('close', resolve);
      give(null, stream);
    });
  });
}

/**
 * Writes files one after the other, so that only one is in memory at a time, as slowly as the output
 * takes them.
 *
 * @throws what the stream or `files` throws; the output is then not a whole archive
 */
export async function writeZip(
  output: Writable,
  files: AsyncIterable<ArchiveFile | LongFile> | Iterable<ArchiveFile | LongFile>,
): Promise<void> {
  const zip = new ZipFile();
  const written = pipeline(zip.outputStream, output);
  // The output may fail while the next file is still being made: nobody would ask for that one any more.
  const failed = new Promise<never>((_, reject) => void written.catch(reject));
  failed.catch(() => undefined);
  try {
    for await (const file of files) await Promise.race([add(zip, file), failed]);
    zip.end();
  } catch (error) {
    output.destroy(error instanceof Error ? error : new Error(String(error)));
    // Nothing of it may be on the way any more when the caller tidies up.
    await written.catch(() => undefined);
    throw error;
  }
  await written;
}

/** A whole zip in memory, for what is small. */
export async function zipBytes(files: Iterable<ArchiveFile>): Promise<Uint8Array> {
  const parts: Buffer[] = [];
  const sink = new Writable({
    write(part: Buffer, _encoding, done) {
      parts.push(part);
      done();
    },
  });
  await writeZip(sink, files);
  return Buffer.concat(parts);
}

/** Puts everything into one folder, as a zipped bag must be (RFC 8493 §4). */
export async function* inFolder<F extends ArchiveFile | LongFile>(
  folder: string,
  files: AsyncIterable<F>,
): AsyncGenerator<F> {
  for await (const file of files) yield { ...file, path: `${folder}/${file.path}` };
}
