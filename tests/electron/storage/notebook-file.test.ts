import { execFile, execFileSync, spawnSync } from 'node:child_process';
import { promisify } from 'node:util';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sql, type Kysely } from 'kysely';
import { migrations } from '../../../migrations/index.ts';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { applicationId, currentVersion } from '../../../electron/storage/format.ts';
import {
  bringUpToDate,
  openNotebookFile,
  type NotebookFile,
} from '../../../electron/storage/notebook-file.ts';
import { openDatabase } from '../../../electron/storage/open-database.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { folderOfTest } from './folder.ts';

async function opened(path: string): Promise<NotebookFile> {
  const result = await openNotebookFile(path);
  if (!result.ok) throw new Error(`not opened: ${result.error.reason}`);
  onTestFinished(() => result.value.close());
  return result.value;
}
const reasonOf = async (path: string): Promise<string> => {
  const result = await openNotebookFile(path);
  if (!result.ok) return result.error.reason;
  const reason = result.value.readOnly?.reason ?? 'writable';
  await result.value.close();
  return reason;
};
const pragma = async (file: NotebookFile, name: string): Promise<unknown> => {
  const { rows } = await sql<Record<string, unknown>>`${sql.raw(`pragma ${name}`)}`.execute(file.db);
  return Object.values(rows[0] ?? {})[0];
};
const person = { id: 'p', printed_name: 'P', initials: 'P', role: 'student' as const, created_at: 'now' };
const digest = (path: string): string => sha256(readFileSync(path));

describe('openNotebookFile', () => {
  it('sets on a reopened file what every connection needs', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    // Only a reopened WAL file shows whether synchronous is really set: a new one starts at FULL.
    await (await opened(path)).close();
    const file = await opened(path);
    expect({
      journal: await pragma(file, 'journal_mode'),
      synchronous: await pragma(file, 'synchronous'),
      foreignKeys: await pragma(file, 'foreign_keys'),
      recursiveTriggers: await pragma(file, 'recursive_triggers'),
      trustedSchema: await pragma(file, 'trusted_schema'),
      cellSizeCheck: await pragma(file, 'cell_size_check'),
      busyTimeout: await pragma(file, 'busy_timeout'),
      applicationId: await pragma(file, 'application_id'),
      version: await pragma(file, 'user_version'),
    }).toEqual({
      journal: 'wal',
      synchronous: 2,
      foreignKeys: 1,
      recursiveTriggers: 1,
      trustedSchema: 0,
      cellSizeCheck: 1,
      busyTimeout: 5000,
      applicationId,
      version: currentVersion,
    });
  });

  it('keeps a rollback journal where the write-ahead log cannot work, and is as safe', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    await (await opened(path)).close();
    const database = openDatabase(path, 'write', 'delete');
    onTestFinished(() => void database.close());
    expect(database.pragma('journal_mode', { simple: true })).toBe('delete');
    expect(database.pragma('synchronous', { simple: true })).toBe(2);
  });

  it('leaves one file behind when it is closed', async () => {
    const folder = folderOfTest();
    const file = await opened(join(folder, 'n.fairleaf'));
    await file.db.insertInto('person').values(person).execute();
    expect(readdirSync(folder).length).toBeGreaterThan(1);
    await file.close();
    expect(readdirSync(folder)).toEqual(['n.fairleaf']);
  });

  it('opens a path with blanks, umlauts and signs of other scripts', async () => {
    const folder = join(folderOfTest(), 'Übung 3 № 7 – реферат');
    mkdirSync(folder);
    const path = join(folder, 'каталог ä.fairleaf');
    await (await opened(path)).db.insertInto('person').values(person).execute();
    expect(existsSync(path)).toBe(true);
  });

  it('refuses what is no notebook, and leaves it untouched', async () => {
    const folder = folderOfTest();
    const text = join(folder, 'text');
    writeFileSync(text, 'This is my shopping list, longer than sixteen bytes.');
    const short = join(folder, 'short');
    writeFileSync(short, 'SQLite');
    const other = join(folder, 'other.db');
    const database = new Database(other);
    database.exec('create table t (x)');
    database.close();
    for (const path of [text, short, other]) {
      const before = digest(path);
      expect(await reasonOf(path)).toBe('not-a-notebook');
      expect(digest(path)).toBe(before);
    }
    expect(readdirSync(folder).sort()).toEqual(['other.db', 'short', 'text']);
  });

  it('takes an empty file as a new notebook', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    writeFileSync(path, '');
    expect(await reasonOf(path)).toBe('writable');
  });

  it('refuses a notebook from a newer version byte for byte untouched, and says which', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    await (await opened(path)).close();
    const database = new Database(path);
    database.pragma(`user_version = ${currentVersion + 3}`);
    database.close();
    const before = digest(path);
    const result = await openNotebookFile(path);
    expect(result).toMatchObject({
      ok: false,
      error: { reason: 'newer-version', facts: { found: currentVersion + 3, known: currentVersion } },
    });
    expect(digest(path)).toBe(before);
  });

  it('says when the folder is missing, and when there is a folder where a file should be', async () => {
    const folder = folderOfTest();
    expect(await reasonOf(join(folder, 'nowhere', 'n.fairleaf'))).toBe('folder-missing');
    mkdirSync(join(folder, 'n.fairleaf'));
    expect(await reasonOf(join(folder, 'n.fairleaf'))).toBe('unreadable');
  });

  it('reads a file whose pages do not hang together, and writes nothing into it', async () => {
    const folder = folderOfTest();
    const path = join(folder, 'n.fairleaf');
    const file = await opened(path);
    for (let n = 0; n < 300; n++) {
      await file.db
        .insertInto('person')
        .values({ ...person, id: `p${n}`, printed_name: `P ${n} ${'x'.repeat(500)}` })
        .execute();
    }
    await file.close();
    const bytes = readFileSync(path);
    const cut = join(folder, 'cut.fairleaf');
    writeFileSync(cut, bytes.subarray(0, Math.floor(bytes.length / 2 / 4096) * 4096));
    // A leaf page of the people in the middle of the file, turned into nothing.
    const at = bytes.indexOf('P 150 xxx');
    bytes.fill(0, at - (at % 4096), at - (at % 4096) + 8);
    writeFileSync(path, bytes);
    for (const damaged of [path, cut]) {
      const before = digest(damaged);
      expect(await reasonOf(damaged)).toBe('damaged');
      expect(digest(damaged)).toBe(before);
    }
  });

  it('puts a whole copy beside the file before a later program changes its tables', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const file = await opened(path);
    await file.db.insertInto('person').values(person).execute();
    const later = {
      ...migrations,
      '9999-later': {
        up: async (db: Kysely<unknown>) =>
          void (await sql`alter table person add column pronoun text`.execute(db)),
      },
    };
    const db = file.db as unknown as Kysely<unknown>;
    const kept = await bringUpToDate(path, db, (to) => file.copyTo(to), later);
    expect(kept).toBe(`${path}.format-${currentVersion}`);
    expect(await bringUpToDate(path, db, (to) => file.copyTo(to), later)).toBeNull();
    expect((await file.db.selectFrom('person').selectAll().execute())[0]).toHaveProperty('pronoun');
    const old = await opened(kept ?? '');
    expect(await old.db.selectFrom('person').selectAll().execute()).toEqual([person]);
    await file.close();
    expect(await reasonOf(path)).toBe('newer-version');
  });

  it('offers a second program the notebook for reading, and tells it who holds it', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const first = await opened(path);
    await first.db.insertInto('person').values(person).execute();
    const second = await opened(path);
    expect(second.readOnly).toMatchObject({ reason: 'held-elsewhere', facts: { process: process.pid } });
    expect(await second.db.selectFrom('person').select('id').execute()).toEqual([{ id: 'p' }]);
    await expect(
      second.db
        .insertInto('person')
        .values({ ...person, id: 'q', printed_name: 'Q' })
        .execute(),
    ).rejects.toMatchObject({ code: 'SQLITE_READONLY' });
    await first.close();
    await second.close();
    expect(await reasonOf(path)).toBe('writable');
  });

  it('lets exactly one of several programs write that are started at the same moment', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    await (await opened(path)).close();
    for (let round = 0; round < 3; round++) {
      const files = await Promise.all(Array.from({ length: 4 }, () => openNotebookFile(path)));
      const writers = files.filter((file) => file.ok && file.value.readOnly === null);
      expect(writers).toHaveLength(1);
      for (const file of files) if (file.ok) await file.value.close();
    }
  });

  it('never lets two processes write that take and give back the lock as fast as they can', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const ended = await Promise.all(
      Array.from({ length: 4 }, () =>
        promisify(execFile)(process.execPath, [script('contend.ts'), path, '2500']),
      ),
    );
    const held = ended.map((one) => Number(one.stdout));
    expect(held.every((count) => count > 0)).toBe(true);
  });

  it('gets the lock back from a program that was killed', async () => {
    const path = join(folderOfTest(), 'n.fairleaf');
    const done = spawnSync(process.execPath, [script('open-and-die.ts'), path], { encoding: 'utf8' });
    expect([done.stdout.trim(), done.signal]).toEqual(['true', 'SIGKILL']);
    expect(await reasonOf(path)).toBe('writable');
  });

  it('opens a file that it may not write for reading', async () => {
    const folder = folderOfTest();
    const path = join(folder, 'n.fairleaf');
    await (await opened(path)).close();
    chmodSync(path, 0o444);
    chmodSync(folder, 0o555);
    const before = digest(path);
    onTestFinished(() => chmodSync(folder, 0o755));
    expect(openAsNobody(path)).toEqual({ reason: 'read-only', people: 0 });
    expect(digest(path)).toBe(before);
    expect(readdirSync(folder)).toEqual(['n.fairleaf']);
  });

  it('reads what a crash left in the log of a file on a medium that cannot be written', async () => {
    const folder = folderOfTest();
    const path = join(folder, 'n.fairleaf');
    const file = await opened(path);
    await file.db.insertInto('person').values(person).execute();
    // As a kill leaves them: the row is in the log only.
    const medium = join(folder, 'medium');
    mkdirSync(medium);
    for (const end of ['', '-wal']) copyFileSync(path + end, join(medium, `n.fairleaf${end}`));
    await file.close();
    for (const name of readdirSync(medium)) chmodSync(join(medium, name), 0o444);
    chmodSync(medium, 0o555);
    onTestFinished(() => chmodSync(medium, 0o755));
    expect(openAsNobody(join(medium, 'n.fairleaf'))).toEqual({ reason: 'read-only', people: 1 });
  });
});

const script = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

function openAsNobody(path: string): unknown {
  const out = execFileSync(process.execPath, [script('open-as-nobody.ts'), path], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  return JSON.parse(out) as unknown;
}
