import { existsSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { lockPath, takeWriterLock } from '../../../electron/storage/writer-lock.ts';
import { folderOfTest } from './folder.ts';

describe('the writer lock', () => {
  it('is held by one, who is named to the next, and leaves nothing behind', () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const lock = takeWriterLock(path, '2027-03-09T13:00:00.000Z');
    expect(() => takeWriterLock(path, 'later')).toThrow('another program writes');
    try {
      takeWriterLock(path, 'later');
    } catch (error) {
      expect(error).toMatchObject({
        code: 'held-elsewhere',
        facts: { process: process.pid, since: '2027-03-09T13:00:00.000Z' },
      });
    }
    lock.release();
    expect(existsSync(lockPath(path))).toBe(false);
    takeWriterLock(path, 'again').release();
  });

  it('does not count on a file that its last holder took away in between', () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const first = takeWriterLock(path, 'first');
    // Opened while the first holder is still there, locked only after it went and took the file along.
    const early = new Database(lockPath(path), { timeout: 0 });
    early.prepare('select count(*) from sqlite_schema').get();
    first.release();
    let opened = 0;
    const lock = takeWriterLock(path, 'second', (file) =>
      opened++ === 0 ? early : new Database(file, { timeout: 0 }),
    );
    expect(opened).toBe(2);
    expect(() => takeWriterLock(path, 'third')).toThrow('another program writes');
    lock.release();
  });

  it('is taken again when somebody took and gave it back between saying who holds it and holding it', () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    let opened = 0;
    const lock = takeWriterLock(path, 'first', (file) => {
      const database = new Database(file, { timeout: 0 });
      if (opened++ > 0) return database;
      const exec = database.exec.bind(database);
      let begun = 0;
      database.exec = (sql) => {
        if (sql === 'begin immediate' && ++begun === 2) takeWriterLock(path, 'between').release();
        return exec(sql);
      };
      return database;
    });
    expect(opened).toBe(2);
    expect(() => takeWriterLock(path, 'third')).toThrow('another program writes');
    lock.release();
  });
});
