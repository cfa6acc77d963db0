import { existsSync } from 'node:fs';
import { mkdir, readdir, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** Days and weeks of which the last copy is kept. */
export const keptDays = 7;
export const keptWeeks = 4;

/** Where the copies of a notebook stand: a folder beside it. */
export const copiesFolder = (notebookPath: string): string => `${notebookPath}.copies`;

const pattern = /^(\d{4})-(\d\d)-(\d\d)T(\d\d)(\d\d)(\d\d)Z\.fairleaf$/;

export interface KeptCopy {
  readonly name: string;
  /** UTC, ISO 8601. */
  readonly at: string;
}

/** `2026-03-02T131005Z.fairleaf`: sorts by time, and every file system takes it. @param at UTC, ISO 8601 */
export const copyName = (at: string): string => `${at.slice(0, 19).replaceAll(':', '')}Z.fairleaf`;

function copyOf(name: string): KeptCopy | null {
  const match = pattern.exec(name);
  if (match === null) return null;
  const [, year, month, day, hour, minute, second] = match;
  return { name, at: `${year}-${month}-${day}T${hour}:${minute}:${second}.000Z` };
}

/** Monday of the week a moment falls into, as `YYYY-MM-DD`, UTC (ISO 8601 weeks begin on Monday). */
function weekOf(at: string): string {
  const date = new Date(at);
  date.setUTCDate(date.getUTCDate() - ((date.getUTCDay() + 6) % 7));
  return date.toISOString().slice(0, 10);
}

/**
 * Which copies may go: all but the last one of each of the newest days, and of each of the newest
 * weeks, in which there is one.
 */
export function superfluous(copies: readonly KeptCopy[]): readonly KeptCopy[] {
  const newestFirst = copies.toSorted((a, b) => b.at.localeCompare(a.at));
  const keep = new Set<KeptCopy>();
  const lastOf = (period: (at: string) => string, most: number): void => {
    const seen = new Set<string>();
    for (const copy of newestFirst) {
      const key = period(copy.at);
      if (seen.has(key)) continue;
      if (seen.size === most) return;
      seen.add(key);
      keep.add(copy);
    }
  };
  lastOf((at) => at.slice(0, 10), keptDays);
  lastOf(weekOf, keptWeeks);
  return newestFirst.filter((copy) => !keep.has(copy));
}

/** The copies there are, newest first; files of other names are none of ours. */
export async function keptCopies(notebookPath: string): Promise<readonly KeptCopy[]> {
  const folder = copiesFolder(notebookPath);
  if (!existsSync(folder)) return [];
  const names = await readdir(folder);
  return names.flatMap((name) => copyOf(name) ?? []).sort((a, b) => b.at.localeCompare(a.at));
}

/**
 * Makes a copy, whole or not at all, and lets old ones go.
 *
 * @param copyTo writes a whole copy of the notebook to a path that does not exist yet
 * @returns the copy's name
 * @throws what the file system or the database throws; the copies there were are then still there
 */
export async function makeCopy(
  notebookPath: string,
  at: string,
  copyTo: (path: string) => Promise<void>,
): Promise<string> {
  const folder = copiesFolder(notebookPath);
  await mkdir(folder, { recursive: true });
  const name = copyName(at);
  const part = join(folder, `${name}.part`);
  await rm(part, { force: true });
  try {
    await copyTo(part);
    if ((await stat(part)).size === 0) throw new Error('the copy is empty');
    await rename(part, join(folder, name));
  } catch (error) {
    await rm(part, { force: true });
    throw error;
  }
  for (const old of superfluous(await keptCopies(notebookPath))) await rm(join(folder, old.name));
  return name;
}
