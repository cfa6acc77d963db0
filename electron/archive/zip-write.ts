import { Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';

/** The earliest day a zip can name: the same content gives the same bytes, whenever it is written. */
const mtime = new Date(1980, 0, 1);

export interface ArchiveFile {
  /** With `/`, relative, plain ASCII. */
  readonly path: string;
  readonly data: Uint8Array;
}

/** Text and JSON shrink; pictures and PDFs are compressed already. */
const shrinks = (path: string): boolean => /\.(json|txt|pem)$/.test(path) || path.includes('/objects/');

/**
 * Writes files one after the other, so that only one is in memory at a time.
 *
 * @throws what the stream or `files` throws; the output is then not a whole archive
 */
export async function writeZip(
  output: Writable,
  files: AsyncIterable<ArchiveFile> | Iterable<ArchiveFile>,
): Promise<void> {
  const zip = new ZipFile();
  const written = pipeline(zip.outputStream, output);
  // A failure of the output shows at the next await, not as an unhandled rejection before.
  written.catch(() => undefined);
  try {
    for await (const { path, data } of files) {
      zip.addBuffer(Buffer.from(data.buffer, data.byteOffset, data.byteLength), path, {
        mtime,
        mode: 0o100644,
        compress: shrinks(path),
      });
    }
    zip.end();
  } catch (error) {
    output.destroy(error instanceof Error ? error : new Error(String(error)));
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
export async function* inFolder(
  folder: string,
  files: AsyncIterable<ArchiveFile>,
): AsyncGenerator<ArchiveFile> {
  for await (const { path, data } of files) yield { path: `${folder}/${path}`, data };
}
