import { mkdir, open, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { ArchiveFile } from './zip-write.ts';

/**
 * Writes files into a new folder. The folder appears under its name only when it is whole; until then
 * it stands beside it as `….part`, which is taken away when something fails.
 *
 * @throws what the file system throws (EEXIST when the folder is there already, ENOSPC…)
 */
export async function writeFolder(
  folder: string,
  files: AsyncIterable<ArchiveFile> | Iterable<ArchiveFile>,
): Promise<void> {
  const part = `${folder}.part`;
  await mkdir(part);
  try {
    const made = new Set<string>();
    for await (const { path, data } of files) {
      const target = join(part, ...path.split('/'));
      if (!made.has(dirname(target))) {
        await mkdir(dirname(target), { recursive: true });
        made.add(dirname(target));
      }
      const file = await open(target, 'wx');
      try {
        await file.writeFile(data);
        await file.sync();
      } finally {
        await file.close();
      }
    }
    // rename would quietly replace an empty folder; the check is for a person's mistake, not a race.
    await mkdir(folder);
    await rm(folder, { recursive: true });
    await rename(part, folder);
  } catch (error) {
    await rm(part, { recursive: true, force: true });
    throw error;
  }
}
