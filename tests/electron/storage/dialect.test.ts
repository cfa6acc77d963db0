import { join } from 'node:path';
import { Kysely, sql } from 'kysely';
import { describe, expect, it, onTestFinished } from 'vitest';
import { DatabaseThread } from '../../../electron/storage/database-thread.ts';
import { ThreadDialect } from '../../../electron/storage/dialect.ts';
import { folderOfTest } from './folder.ts';

interface Tables {
  note: { id: number; text: string };
}

async function open(): Promise<{ db: Kysely<Tables>; thread: DatabaseThread }> {
  const thread = new DatabaseThread();
  const db = new Kysely<Tables>({ dialect: new ThreadDialect(thread) });
  await thread.ask({ kind: 'open', path: join(folderOfTest(), 'd.fairleaf'), mode: 'write', journal: 'wal' });
  await sql`create table note (id integer primary key, text text not null unique)`.execute(db);
  onTestFinished(() => thread.end());
  return { db, thread };
}
const count = async (db: Kysely<Tables>): Promise<number> =>
  (await db.selectFrom('note').select('id').execute()).length;

describe('the database thread', () => {
  it('keeps a write beside an open transaction out of its rollback', async () => {
    const { db } = await open();
    let beside: Promise<unknown> = Promise.resolve();
    await expect(
      db.transaction().execute(async (transaction) => {
        await transaction.insertInto('note').values({ id: 1, text: 'inside' }).execute();
        beside = db.insertInto('note').values({ id: 2, text: 'beside' }).execute();
        await new Promise((resolve) => setTimeout(resolve, 30));
        throw new Error('rolled back on purpose');
      }),
    ).rejects.toThrow('on purpose');
    await beside;
    expect(await db.selectFrom('note').selectAll().execute()).toEqual([{ id: 2, text: 'beside' }]);
  });

  it('gives the connection back after a failed statement', async () => {
    const { db } = await open();
    await db.insertInto('note').values({ id: 1, text: 'one' }).execute();
    await expect(db.insertInto('note').values({ id: 2, text: 'one' }).execute()).rejects.toMatchObject({
      code: 'SQLITE_CONSTRAINT_UNIQUE',
    });
    expect(await count(db)).toBe(1);
  });

  it('changes tables inside a transaction or not at all', async () => {
    const { db } = await open();
    await expect(
      db.transaction().execute(async (transaction) => {
        await sql`create table other (x)`.execute(transaction);
        throw new Error('no');
      }),
    ).rejects.toThrow('no');
    await expect(sql`select * from other`.execute(db)).rejects.toThrow('no such table');
  });

  it('does not hold up the program while the database works', async () => {
    const { db } = await open();
    const slow = sql`with recursive c(x) as (select 1 union all select x + 1 from c where x < 3000000)
      select sum(x) from c`.execute(db);
    let longest = 0;
    let last = performance.now();
    const timer = setInterval(() => {
      longest = Math.max(longest, performance.now() - last);
      last = performance.now();
    }, 5);
    const begun = performance.now();
    await slow;
    const took = performance.now() - begun;
    clearInterval(timer);
    // A held-up program would show one gap as long as the query.
    expect(longest).toBeLessThan(took / 2);
  });

  it('rejects what waits when the thread ends', async () => {
    const { db, thread } = await open();
    const waiting = sql`with recursive c(x) as (select 1 union all select x + 1 from c where x < 3000000)
      select sum(x) from c`.execute(db);
    const rejected = expect(waiting).rejects.toMatchObject({ code: 'thread-ended' });
    await new Promise((resolve) => setTimeout(resolve, 20));
    await thread.kill();
    await rejected;
    await expect(db.selectFrom('note').selectAll().execute()).rejects.toMatchObject({ code: 'thread-ended' });
  });

  it('passes text, numbers, blobs and null through unharmed', async () => {
    const { db } = await open();
    const texts = ['', "'); drop table note; --", '😀 مرحبا', 'a\u0000b', 'e\u0301', 'x'.repeat(1_000_000)];
    for (const [id, text] of texts.entries()) await db.insertInto('note').values({ id, text }).execute();
    const rows = await db.selectFrom('note').selectAll().orderBy('id').execute();
    expect(rows.map((row) => row.text)).toEqual(texts);
    const { rows: back } = await sql<{ b: Uint8Array; n: null; f: number }>`
      select ${new Uint8Array([0, 255, 1])} as b, ${null} as n, ${1.5} as f`.execute(db);
    expect(Buffer.from(back[0]?.b ?? []).toString('hex')).toBe('00ff01');
    expect(back[0]).toMatchObject({ n: null, f: 1.5 });
  });
});
