import { copyFileSync, existsSync, openSync, closeSync, fsyncSync, renameSync, rmSync } from 'node:fs';
import { takeWriterLock } from './writer-lock.ts';

/** What SQLite keeps beside a database. */
const sides = ['', '-wal', '-shm'];

/**
 * Puts a kept copy in the place of a notebook. The notebook that stood there is set aside under another
 * name with everything beside it, so that nothing is lost.
 *
 * @param at UTC, ISO 8601
 * @returns where the notebook that stood there is now; null when there was none
 * @throws DatabaseError held-elsewhere when a program has the notebook open; what the file system throws
 */
export function putBack(copy: string, notebookPath: string, at: string): string | null {
  const lock = takeWriterLock(notebookPath, at);
  try {
    const part = `${notebookPath}.part`;
    rmSync(part, { force: true });
    copyDurably(copy, part);
    // What a crash left in the log beside the copy was checked with it, and belongs to it.
    const hasLog = existsSync(`${copy}-wal`);
    if (hasLog) copyDurably(`${copy}-wal`, `${part}-wal`);
    const aside = existsSync(notebookPath) ? freeName(`${notebookPath}.replaced-${at.slice(0, 10)}`) : null;
    if (aside !== null) {
      for (const side of sides) {
        if (existsSync(notebookPath + side)) renameSync(notebookPath + side, aside + side);
      }
    }
    if (hasLog) renameSync(`${part}-wal`, `${notebookPath}-wal`);
    renameSync(part, notebookPath);
    return aside;
  } finally {
    lock.release();
  }
}

function copyDurably(from: string, to: string): void {
  copyFileSync(from, to);
  const file = openSync(to, 'r+');
  fsyncSync(file);
  closeSync(file);
}

function freeName(wanted: string): string {
  let name = wanted;
  for (let n = 2; existsSync(name); n += 1) name = `${wanted}-${n}`;
  return name;
}
