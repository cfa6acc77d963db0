import { rmSync } from 'node:fs';
import { hostname } from 'node:os';
import { randomUUID } from 'node:crypto';
import Database from 'better-sqlite3';
import { DatabaseError } from './database-message.ts';

/** Beside the notebook while it is open: whoever holds a write transaction on this file is the one writer. */
export const lockPath = (notebookPath: string): string => `${notebookPath}-writer`;

export interface WriterLock {
  release(): void;
}

const attempts = 10;

/**
 * One writer at a time across processes. The lock is an open write transaction on a small file of its
 * own, so that readers of the notebook are not shut out, and so that the operating system gives it
 * back when the holder is killed. Its last committed row says who the holder is.
 *
 * @param since UTC ISO 8601: told to whoever comes second
 * @param openLock opens the lock's file; a test hands out one that was opened a moment too early
 * @throws DatabaseError `held-elsewhere` with facts process, computer, since
 */
export function takeWriterLock(
  notebookPath: string,
  since: string,
  openLock: (path: string) => Database.Database = (path) => new Database(path, { timeout: 0 }),
): WriterLock {
  const path = lockPath(notebookPath);
  for (let attempt = 0; attempt < attempts; attempt++) {
    const lock = tryLock(path, openLock(path), since);
    if (lock !== null) return lock;
  }
  throw new DatabaseError('the writer lock could not be had', 'SQLITE_BUSY');
}

/** Null when the file was taken away by its last holder between our opening and locking it. */
function tryLock(path: string, lock: Database.Database, since: string): WriterLock | null {
  const token = randomUUID();
  try {
    // A rollback journal lets others read the holder's name while the write lock is held.
    lock.pragma('journal_mode = delete');
    lock.exec('begin immediate');
    lock.exec(
      'create table if not exists holder (process integer, computer text, since text, token text) strict',
    );
    lock.exec('delete from holder');
    lock.prepare('insert into holder values (?, ?, ?, ?)').run(process.pid, hostname(), since, token);
    lock.exec('commit');
    lock.exec('begin immediate');
  } catch (error) {
    const code = error instanceof Database.SqliteError ? error.code : '';
    // SQLite itself sees that the file it writes to is not the one under that name any more.
    const isGone = code === 'SQLITE_READONLY_DBMOVED';
    const isHeld = code.startsWith('SQLITE_BUSY');
    const holder = isHeld ? readHolder(lock) : {};
    lock.close();
    if (isGone) return null;
    if (isHeld) throw new DatabaseError('another program writes to this notebook', 'held-elsewhere', holder);
    throw error;
  }
  if (!isStillThere(path, token)) {
    lock.close();
    return null;
  }
  return {
    release() {
      // Removed while it is still held, so that nobody can have taken it in between. A system that does
      // not remove open files keeps it; it is then found and used again.
      rmSync(path, { force: true, maxRetries: 0 });
      if (lock.inTransaction) lock.exec('rollback');
      lock.close();
    },
  };
}

/** A lock counts only on the file that others will find under its name. */
function isStillThere(path: string, token: string): boolean {
  try {
    const found = new Database(path, { readonly: true, fileMustExist: true, timeout: 0 });
    try {
      return found.prepare('select token from holder').pluck().get() === token;
    } finally {
      found.close();
    }
  } catch {
    return false;
  }
}

function readHolder(lock: Database.Database): Readonly<Record<string, string | number>> {
  try {
    const row = lock.prepare('select process, computer, since from holder').get();
    return (row ?? {}) as Readonly<Record<string, string | number>>;
  } catch {
    // The holder is between its two transactions: it is there all the same.
    return {};
  }
}
