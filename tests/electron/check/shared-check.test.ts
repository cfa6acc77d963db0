import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { openForReading } from '../../../electron/storage/open-for-reading.ts';
import { stretchesOf, workBeside } from '../../../electron/check/side-work.ts';
import { PaperNotebook, sampleNotebook } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { withoutGuards, writeNotebookFile } from './notebook-file.ts';

let folder: string;
let original: string;
let notebook: PaperNotebook;
let count = 0;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-shared-test-'));
  original = join(folder, 'original.fairleaf');
  const sample = sampleNotebook(sampleContent);
  notebook = sample.notebook;
  for (let n = 0; n < 60; n += 1) notebook.event(sample.ada, 'session.open', null, []);
  await writeNotebookFile(original, notebook.tables);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function tampered(sql: string): string {
  count += 1;
  const path = join(folder, `copy-${count}.fairleaf`);
  copyFileSync(original, path);
  const database = new Database(path);
  database.pragma('foreign_keys = off');
  withoutGuards(database, () => database.exec(sql));
  database.pragma('wal_checkpoint(truncate)');
  database.close();
  return path;
}

/** With one thread, and shared out among several however short the notebook is. */
async function bothWays(path: string, threads: number): Promise<readonly unknown[]> {
  const pinnedKey = notebook.department.publicKey;
  const alone = await checkDatabase(path, { pinnedKey, threads: 1 });
  const shared = await checkDatabase(path, { pinnedKey, threads, alwaysShares: true });
  return [alone, shared];
}

describe('a check shared out among threads', () => {
  it('is really shared, and is not for a short notebook', async () => {
    const { database, close } = openForReading(original);
    try {
      const beside = await workBeside(database, { threads: 3, always: true })?.();
      expect(beside?.threads).toBe(3);
      expect(beside?.stretches.map((stretch) => stretch.walked !== null)).toEqual([true, true, true]);
      expect(workBeside(database, { threads: 3 })).toBe(null);
    } finally {
      close();
    }
  });

  it.each([
    ['nothing', `select 1`],
    [
      'a changed event in the first stretch',
      `update event set bytes = replace(bytes, 'A first try', 'A last try')`,
    ],
    [
      'a changed event in the last',
      `update event set bytes = replace(bytes, 'session.open', 'session.clos') where seq = (select max(seq) - 2 from event)`,
    ],
    [
      'changed events in several',
      `update event set at = '2020-01-01T00:00:00.000Z' where seq in (3, 20, 41, 60, 80)`,
    ],
    [
      'a broken link at every seam',
      `update event set bytes = replace(bytes, '"previous":"', '"previous":"0') where seq % 10 = 1`,
    ],
    ['an event taken out', `delete from event where seq = 30`],
    ['the first taken out', `delete from event where seq = 1`],
    ['the end cut off', `delete from event where seq > 15`],
    [
      'two events exchanged',
      `update event set seq = -1 where seq = 20; update event set seq = 20 where seq = 50; update event set seq = 50 where seq = -1`,
    ],
    ['a hash made to fit nothing', `update event set hash = '${'0'.repeat(64)}' where seq = 44`],
    [
      'a changed signature',
      `update signature set signature = replace(signature, 'a', 'b') where entry_id = 'e2'`,
    ],
    [
      'a signature by another key',
      `update signature set certificate_hash = (select hash from certificate where person_id = 'ben') where person_id = 'ada'`,
    ],
    [
      'a certificate with another key',
      `update certificate set public_key = '${'ab'.repeat(32)}' where person_id = 'moss'`,
    ],
    ['a changed version', `update version set bytes = replace(bytes, '134', '135')`],
    [
      'an event of another notebook',
      `update event set bytes = replace(bytes, '"notebook":"nb-1"', '"notebook":"nb-2"') where seq = 33`,
    ],
    [
      'everything at once',
      `update event set bytes = replace(bytes, 'a', 'b') where seq % 7 = 0; delete from signature where n = 2; update version set bytes = bytes || ' '`,
    ],
  ])('finds the same, in the same order, in a notebook with %s', async (_, sql) => {
    const path = tampered(sql);
    for (const threads of [2, 5]) {
      const [alone, shared] = await bothWays(path, threads);
      expect(shared).toEqual(alone);
    }
  });

  it('finds the same where the table of events was made anew without its guards', async () => {
    const path = tampered(
      `create table loose as select * from event; insert into loose select null, hash, previous, at, action, person_id, record_id, entry_id, n, bytes from event where seq = 9; drop table event; alter table loose rename to event`,
    );
    const [alone, shared] = await bothWays(path, 3);
    expect(shared).toEqual(alone);
    expect(alone).toMatchObject({ ok: true, value: { isSound: false } });
  });

  it('leaves no event between two stretches, whatever their number', () => {
    for (let count = 2; count <= 8; count += 1) {
      for (const events of [...Array(400).keys()].map((n) => 4 * count + n).concat(100_604, 999_983)) {
        for (const first of [1, 7]) {
          const stretches = stretchesOf(first, first + events - 1, count);
          expect(stretches[0]?.[0]).toBe(first);
          expect(stretches.at(-1)?.[1]).toBe(first + events - 1);
          expect(
            stretches.every(([from, to], n) => to >= from && (n === 0 || from === stretches[n - 1]![1] + 1)),
          ).toBe(true);
        }
      }
    }
  });

  it('can be broken off', async () => {
    const stop = AbortSignal.abort(new Error('stopped'));
    const outcome = checkDatabase(original, { signal: stop, threads: 3, alwaysShares: true });
    await expect(outcome).rejects.toThrow('stopped');
  });
});
