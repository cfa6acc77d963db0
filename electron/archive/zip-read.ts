import type { Readable } from 'node:stream';
import { fromBuffer, open, type Entry, type ZipFile } from 'yauzl';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';

/** Caps for a package from outside. A name or a size in it is a claim until it has been checked. */
export interface ZipLimits {
  readonly entries: number;
  readonly entryBytes: number;
  readonly totalBytes: number;
  /** Unpacked ÷ packed, for entries over a megabyte. */
  readonly ratio: number;
  /** Passes over the marks of folders that zip programs add; they hold nothing. */
  readonly passesFolders?: boolean;
}
export const zipLimits: ZipLimits = {
  entries: 20_000,
  entryBytes: 512 * 2 ** 20,
  totalBytes: 2 ** 31,
  ratio: 200,
};

export class PackageProblem extends Error {
  readonly problem: Problem;
  constructor(code: string, facts: Problem['facts'] = {}) {
    super(code);
    this.problem = { code, where: '', facts };
  }
}

/** A package that was opened and whose list of files is in order. Contents are read one at a time. */
export interface Package {
  readonly names: readonly string[];
  readonly sizeOf: (name: string) => number;
  /** @throws PackageProblem package-damaged, package-too-large */
  readonly read: (name: string) => Promise<Uint8Array>;
  readonly close: () => void;
}

const isUnixLink = (entry: Entry): boolean => ((entry.externalFileAttributes >>> 16) & 0o170000) === 0o120000;

/** The list of files, each of which must be one that `isAllowed` expects. */
async function listEntries(
  zip: ZipFile,
  isAllowed: (name: string) => boolean,
  limits: ZipLimits,
): Promise<ReadonlyMap<string, Entry>> {
  if (zip.entryCount > limits.entries) {
    throw new PackageProblem('package-too-many-files', { count: zip.entryCount, most: limits.entries });
  }
  const entries = new Map<string, Entry>();
  let total = 0;
  for await (const entry of entriesOf(zip)) {
    const name = entry.fileName;
    const isFolder = name.endsWith('/') && entry.uncompressedSize === 0 && isAllowed(name.slice(0, -1));
    if (limits.passesFolders === true && isFolder) continue;
    if (!isAllowed(name)) throw new PackageProblem('package-unexpected-file', { name: shown(name) });
    if (isUnixLink(entry)) throw new PackageProblem('package-link', { name: shown(name) });
    if (entry.isEncrypted()) throw new PackageProblem('package-encrypted');
    if (entries.has(name)) throw new PackageProblem('package-name-twice', { name: shown(name) });
    total += entry.uncompressedSize;
    const isBomb =
      entry.uncompressedSize > 2 ** 20 && entry.uncompressedSize > limits.ratio * entry.compressedSize;
    if (entry.uncompressedSize > limits.entryBytes || total > limits.totalBytes || isBomb) {
      throw new PackageProblem('package-too-large', { name: shown(name) });
    }
    entries.set(name, entry);
    if (entries.size > limits.entries) {
      throw new PackageProblem('package-too-many-files', { count: entries.size, most: limits.entries });
    }
  }
  return entries;
}

/** A name from outside may be long and full of signs that act on a terminal or a page. */
const shown = (name: string): string => name.replace(/[^\x20-\x7e]/g, '?').slice(0, 80);

async function* entriesOf(zip: ZipFile): AsyncGenerator<Entry> {
  for (;;) {
    const entry = await new Promise<Entry | null>((resolve, reject) => {
      const stop = (): void => {
        zip.removeListener('entry', onEntry);
        zip.removeListener('end', onEnd);
        zip.removeListener('error', onError);
      };
      const onEntry = (next: Entry): void => {
        stop();
        resolve(next);
      };
      const onEnd = (): void => {
        stop();
        resolve(null);
      };
      const onError = (error: Error): void => {
        stop();
        reject(error);
      };
      zip.on('entry', onEntry).on('end', onEnd).on('error', onError);
      zip.readEntry();
    });
    if (entry === null) return;
    yield entry;
  }
}

async function contentOf(zip: ZipFile, entry: Entry, limits: ZipLimits): Promise<Uint8Array> {
  const stream = await new Promise<Readable>((resolve, reject) => {
    zip.openReadStream(entry, (error, opened) => {
      if (error === null) resolve(opened);
      else reject(error);
    });
  });
  const parts: Buffer[] = [];
  let size = 0;
  for await (const part of stream as AsyncIterable<Buffer>) {
    size += part.length;
    // yauzl stops an entry whose size lies; this holds whatever it does.
    if (size > limits.entryBytes) {
      stream.destroy();
      throw new PackageProblem('package-too-large', { name: shown(entry.fileName) });
    }
    parts.push(part);
  }
  return Buffer.concat(parts, size);
}

/** What yauzl says of a broken file has words of its own; the user gets ours. */
function asPackageProblem(error: unknown): PackageProblem {
  if (error instanceof PackageProblem) return error;
  const message = error instanceof Error ? error.message : '';
  if (/invalid relative path|absolute path|invalid characters in fileName/i.test(message)) {
    return new PackageProblem('package-unsafe-name');
  }
  return new PackageProblem('package-damaged');
}

/**
 * Opens a zip from outside.
 *
 * @param isAllowed which names a package of this kind may hold; anything else is refused
 * @error package-damaged, package-unsafe-name, package-unexpected-file, package-name-twice,
 *   package-link, package-encrypted, package-too-many-files, package-too-large
 */
export async function openPackage(
  source: string | Uint8Array,
  isAllowed: (name: string) => boolean,
  limits: ZipLimits = zipLimits,
): Promise<Result<Package, Problem>> {
  let zip: ZipFile | null = null;
  try {
    const options = {
      lazyEntries: true,
      autoClose: false,
      strictFileNames: true,
      validateEntrySizes: true,
    } as const;
    zip = await new Promise<ZipFile>((resolve, reject) => {
      const done = (error: Error | null, opened: ZipFile): void => {
        if (error === null) resolve(opened);
        else reject(error);
      };
      if (typeof source === 'string') open(source, options, done);
      else fromBuffer(Buffer.from(source.buffer, source.byteOffset, source.byteLength), options, done);
    });
    const opened = zip;
    const entries = await listEntries(opened, isAllowed, limits);
    const entryOf = (name: string): Entry => {
      const entry = entries.get(name);
      if (entry === undefined) throw new PackageProblem('package-incomplete', { name });
      return entry;
    };
    return ok({
      names: [...entries.keys()],
      sizeOf: (name) => entryOf(name).uncompressedSize,
      read: async (name) => {
        try {
          return await contentOf(opened, entryOf(name), limits);
        } catch (error) {
          throw asPackageProblem(error);
        }
      },
      close: () => opened.close(),
    });
  } catch (error) {
    zip?.close();
    return fail(asPackageProblem(error).problem);
  }
}
