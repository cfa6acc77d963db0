import { copyFileSync, existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { openDatabase } from './open-database.ts';
import { workFolderSync } from './work-folder.ts';

export interface OpenForReading {
  readonly database: Database.Database;
  readonly close: () => void;
}

/**
 * Opens a notebook for reading and nothing else. On a medium that cannot be written, SQLite cannot make
 * the side files that it wants, so a copy is read instead, and removed when it is closed.
 */
export function openForReading(path: string): OpenForReading {
  const hadLog = existsSync(`${path}-wal`);
  try {
    const database = openDatabase(path, 'read');
    return {
      database,
      close() {
        database.close();
        if (!hadLog) tidy(path);
      },
    };
  } catch (error) {
    if (!/^SQLITE_(CANTOPEN|READONLY)/.test(String((error as { code?: unknown }).code))) throw error;
  }
  return openCopy(path);
}

/**
 * A connection that only reads leaves its empty side files behind. SQLite itself removes them when the
 * last connection that could write is closed; where somebody else is using them, it leaves them alone.
 */
function tidy(path: string): void {
  try {
    const database = new Database(path, { fileMustExist: true, timeout: 0 });
    try {
      database.prepare('select count(*) from sqlite_schema').get();
    } finally {
      database.close();
    }
  } catch {
    // Nothing that needs tidying, or nothing that can be.
  }
}

function openCopy(path: string): OpenForReading {
  const folder = workFolderSync('reading');
  const remove = (): void => rmSync(folder, { recursive: true, force: true });
  try {
    const copy = join(folder, 'copy.fairleaf');
    copyFileSync(path, copy);
    if (existsSync(`${path}-wal`)) copyFileSync(`${path}-wal`, `${copy}-wal`);
    const database = openDatabase(copy, 'read');
    return {
      database,
      close() {
        database.close();
        remove();
      },
    };
  } catch (error) {
    remove();
    throw error;
  }
}
