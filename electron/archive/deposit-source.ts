import { lstat, readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { ok, type Problem, type Result } from '../../core/result.ts';
import { isSafePath, reading, type BagSource } from './bag.ts';
import { openPackage, PackageProblem, type ZipLimits } from './zip-read.ts';

/** A class may be large; one file of it, which is what is held in memory, may not. */
export const depositLimits: ZipLimits = {
  entries: 50_000,
  entryBytes: 2 ** 30,
  totalBytes: 2 ** 37,
  ratio: 200,
  // Somebody unpacked it and packed it again.
  passesFolders: true,
};

/** A bag in a folder. Links are refused: they could lead anywhere. */
export async function folderSource(folder: string): Promise<BagSource> {
  const names: string[] = [];
  const sizes = new Map<string, number>();
  const pending = [''];
  let total = 0;
  for (let at = pending.pop(); at !== undefined; at = pending.pop()) {
    for (const item of await readdir(join(folder, at))) {
      const name = at === '' ? item : `${at}/${item}`;
      const status = await lstat(join(folder, name));
      if (status.isDirectory()) pending.push(name);
      else if (!status.isFile()) throw new PackageProblem('package-link', { name: name.slice(0, 80) });
      else {
        names.push(name);
        sizes.set(name, status.size);
      }
      total += status.isFile() ? status.size : 0;
      if (names.length > depositLimits.entries) {
        throw new PackageProblem('package-too-many-files', {
          count: names.length,
          most: depositLimits.entries,
        });
      }
      if (status.size > depositLimits.entryBytes || total > depositLimits.totalBytes) {
        throw new PackageProblem('package-too-large', { name: name.slice(0, 80) });
      }
    }
  }
  return {
    names: names.sort(),
    read: async (name) => readFile(join(folder, name)),
    sizeOf: (name) => sizes.get(name) ?? 0,
  };
}

/**
 * The bag of a deposit: a folder, or a zip of it on the disk or in memory. Files are read one at a time.
 *
 * @error those of `openPackage`, package-incomplete
 */
export async function depositSource(
  from: string | Uint8Array,
): Promise<Result<{ readonly source: BagSource; readonly close: () => void }, Problem>> {
  if (typeof from === 'string' && (await lstat(from)).isDirectory()) {
    const source = await reading(() => folderSource(from));
    return source.ok ? ok({ source: source.value, close: () => undefined }) : source;
  }
  const opened = await openPackage(from, isSafePath, depositLimits);
  if (!opened.ok) return opened;
  const { close } = opened.value;
  const source = await reading(() => Promise.resolve(insideFolder(opened.value)));
  if (!source.ok) close();
  return source.ok ? ok({ source: source.value, close }) : source;
}

/** A zipped bag stands in one folder named like the bag (RFC 8493 §4). */
function insideFolder(source: Required<BagSource>): BagSource {
  const folder = `${source.names[0]?.split('/')[0] ?? ''}/`;
  if (!source.names.every((name) => name.startsWith(folder))) {
    throw new PackageProblem('package-incomplete', { name: 'bagit.txt' });
  }
  return {
    names: source.names.map((name) => name.slice(folder.length)),
    read: (name) => source.read(folder + name),
    sizeOf: (name) => source.sizeOf(folder + name),
  };
}
