import { hostname } from 'node:os';
import Database from 'better-sqlite3';
import { DatabaseError } from './database-message.ts';

/** Beside the notebook: whoever holds a write transaction on this file is the one writer. */
export const lockPath = (notebookPath: string): string => `${notebookPath}-writer`;

export interface WriterLock {
  release(): void;
}

/**
 * One writer at a time across processes. The lock is an open write transaction on a small file of its
 * own, so that readers of the notebook are not shut out, and so that the operating system gives it
 * back when the holder is killed. Its last committed row says who the holder is.
 *
 * @throws DatabaseError `held-elsewhere` with facts process, computer, since
 */
export function takeWriterLock(notebookPath: string, since: string): WriterLock {
  const lock = new Database(lockPath(notebookPath), { timeout: 0 });
  try {
    // A rollback journal lets others read the holder's name while the write lock is held.
    lock.pragma('journal_mode = delete');
    lock.exec('begin immediate');
    lock.exec('create table if not exists holder (process integer, computer text, since text) strict');
    lock.exec('delete from holder');
    lock.prepare('insert into holder values (?, ?, ?)').run(process.pid, hostname(), since);
    lock.exec('commit');
    lock.exec('begin immediate');
  } catch (error) {
    const isHeld = error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY');
    const facts = isHeld ? readHolder(lock) : {};
    lock.close();
    if (isHeld) throw new DatabaseError('another program writes to this notebook', 'held-elsewhere', facts);
    throw error;
  }
  return {
    release() {
      if (lock.inTransaction) lock.exec('rollback');
      lock.close();
    },
  };
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
