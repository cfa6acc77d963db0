import { copyFileSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type Database from 'better-sqlite3';
import { openDatabase } from './open-database.ts';

/**
 * Opens a notebook for reading and nothing else. On a medium that cannot be written, SQLite cannot make
 * the side files that it wants, so a copy is read instead, and removed when it is closed.
 */
export function openForReading(path: string): {
  readonly database: Database.Database;
  readonly close: () => void;
} {
  try {
    const database = openDatabase(path, 'read');
    return { database, close: () => database.close() };
  } catch (error) {
    if (!/^SQLITE_(CANTOPEN|READONLY)/.test(String((error as { code?: unknown }).code))) throw error;
  }
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-reading-'));
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
