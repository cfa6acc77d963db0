import { closeSync, existsSync, openSync, readSync, statSync } from 'node:fs';
import Database from 'better-sqlite3';
import { DatabaseError } from './database-message.ts';
import { applicationId, currentVersion } from './format.ts';

const magic = 'SQLite format 3\0';

/**
 * Opens a notebook file and sets what every connection needs. Creates an empty one when there is none
 * and writing is asked for; migrates nothing.
 *
 * @param journal `delete` where the write-ahead log cannot work: on a network drive
 * @throws DatabaseError not-a-notebook, newer-version (facts found, known), damaged; SqliteError as it comes
 */
export function openDatabase(
  path: string,
  mode: 'write' | 'read',
  journal: 'wal' | 'delete' = 'wal',
): Database.Database {
  if (mode === 'read' && !existsSync(path)) {
    throw new DatabaseError('there is no such file', 'file-missing');
  }
  const isNew = !existsSync(path) || statSync(path).size === 0;
  if (!isNew && !startsLikeDatabase(path)) {
    throw new DatabaseError('the file is no database', 'not-a-notebook');
  }
  const database = new Database(path, { readonly: mode === 'read', timeout: 5_000 });
  try {
    if (!isNew) checkFormat(database);
    if (mode === 'write') {
      // Nobody should write on into a file whose pages do not hang together.
      if (!isNew) checkPages(database);
      if (isNew) database.pragma(`application_id = ${applicationId}`);
      database.pragma(`journal_mode = ${journal}`);
      // A reopened WAL database runs at NORMAL unless told: a commit would survive a crash of the
      // program, but not one of the computer.
      database.pragma('synchronous = full');
    }
    database.pragma('foreign_keys = on');
    // Without it INSERT OR REPLACE does not fire delete triggers.
    database.pragma('recursive_triggers = on');
    database.pragma('trusted_schema = off');
    database.pragma('cell_size_check = on');
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

/** Looks before SQLite does, which would recover, create or lock something in the file first. */
function startsLikeDatabase(path: string): boolean {
  const file = openSync(path, 'r');
  try {
    const head = Buffer.alloc(16);
    return readSync(file, head, 0, 16, 0) === 16 && head.toString('latin1') === magic;
  } finally {
    closeSync(file);
  }
}

function checkPages(database: Database.Database): void {
  if (database.pragma('quick_check(1)', { simple: true }) !== 'ok') {
    throw new DatabaseError('the pages of the file do not hang together', 'damaged');
  }
}

function checkFormat(database: Database.Database): void {
  if (database.pragma('application_id', { simple: true }) !== applicationId) {
    throw new DatabaseError('the database is none of ours', 'not-a-notebook');
  }
  const found = Number(database.pragma('user_version', { simple: true }));
  if (found > currentVersion) {
    throw new DatabaseError('the notebook is from a newer version', 'newer-version', {
      found,
      known: currentVersion,
    });
  }
}
