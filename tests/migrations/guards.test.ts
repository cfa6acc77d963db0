import { beforeEach, describe, expect, it } from 'vitest';
import type Database from 'better-sqlite3';
import { openAt } from './migrated.ts';
import { fittingRows, insertAll, insertRow, rowOf } from './rows.ts';

let database: Database.Database;
beforeEach(async () => {
  ({ database } = await openAt());
  insertAll(database);
});

const keyOf: Readonly<Record<string, string>> = {
  certificate: 'hash',
  revocation: 'hash',
  version: 'hash',
  signature: 'hash',
  event: 'seq',
  attachment: 'sha256',
  checkpoint: 'hash',
  witness: 'head',
  foreign_event: 'hash',
  own_compound: 'hash',
  draft: 'entry_id',
};
const key = (table: string): string => keyOf[table] ?? 'id';
const everyTable = fittingRows.map(([table]) => table);
/** Never changed at all once they are there. */
const final = [
  'certificate',
  'revocation',
  'version',
  'signature',
  'event',
  'attachment',
  'checkpoint',
  'witness',
  'foreign_event',
  'own_compound',
];
const rows = (table: string): unknown => database.prepare(`select * from ${table}`).all();

describe('the guards of the database', () => {
  it('cover every table there is', () => {
    const tables = database.prepare(`select name from sqlite_schema where type = 'table'`).pluck().all();
    expect([...everyTable].sort()).toEqual([...tables].sort());
  });

  it.each(everyTable)('never let a row of %s go', (table) => {
    const before = rows(table);
    expect(() => database.exec(`delete from ${table}`)).toThrow('never-deleted');
    expect(rows(table)).toEqual(before);
  });

  it.each(everyTable)('do not let a row of %s be replaced by another of the same key', (table) => {
    const before = rows(table);
    const row = rowOf(table);
    for (const verb of ['insert or replace', 'replace']) {
      expect(() => insertRow(database, table, row, verb)).toThrow(
        /never-|one-notebook|one-seal-key|-out-of-order|not-allowed/,
      );
    }
    expect(rows(table)).toEqual(before);
  });

  it.each(everyTable)('hold %s also on a connection that forgot recursive_triggers', (table) => {
    database.pragma('recursive_triggers = off');
    const before = rows(table);
    expect(() => insertRow(database, table, rowOf(table), 'insert or replace')).toThrow();
    expect(rows(table)).toEqual(before);
  });

  it.each(final)('never let a row of %s be changed', (table) => {
    const before = rows(table);
    for (const column of Object.keys(rowOf(table))) {
      expect(() => database.prepare(`update ${table} set ${column} = ${column}`).run(), column).toThrow(
        'never-changed',
      );
      const other =
        typeof rowOf(table)[column] === 'number' || column === 'n'
          ? 99
          : column === 'data'
            ? Buffer.from('z')
            : 'z';
      expect(
        () => database.prepare(`update or replace ${table} set ${column} = ?`).run(other),
        column,
      ).toThrow('never-changed');
    }
    expect(() =>
      database.exec(
        `insert into ${table} select * from ${table} where true on conflict do update set ${key(table)} = 'z'`,
      ),
    ).toThrow();
    expect(rows(table)).toEqual(before);
  });

  it.each([
    ['notebook', 'id'],
    ['notebook', 'department_key'],
    ['notebook', 'is_demo'],
    ['person', 'id'],
    ['person', 'role'],
    ['sealed_key', 'public_key'],
    ['sealed_key', 'person_id'],
    ['seal_key', 'id'],
    ['seal_key', 'certificate'],
    ['seal_key', 'created_at'],
    ['record', 'owner_id'],
    ['entry', 'record_id'],
    ['entry', 'number'],
    ['draft', 'entry_id'],
    ['comment', 'text'],
    ['comment', 'author_id'],
    ['comment', 'at'],
    ['comment', 'section'],
  ])('keep %s.%s as it was written', (table, column) => {
    const other = typeof rowOf(table)[column] === 'number' ? 7 : 'other';
    expect(() => database.prepare(`update ${table} set ${column} = ?`).run(other)).toThrow(
      /never-changed|FOREIGN KEY/,
    );
  });

  it('keep the trail in one line: the next number, after the last hash', () => {
    const next = { ...rowOf('event'), seq: 2, hash: 'e2', previous: 'e1' };
    expect(() => insertRow(database, 'event', { ...next, seq: 3 })).toThrow('event-out-of-order');
    expect(() => insertRow(database, 'event', { ...next, previous: 'other' })).toThrow('event-out-of-order');
    expect(() => insertRow(database, 'event', { ...next, hash: 'e1' })).toThrow('never-replaced');
    insertRow(database, 'event', next);
    expect(() => insertRow(database, 'event', { ...next, hash: 'e2b' })).toThrow();
  });

  it('let one notebook be in a file', () => {
    expect(() => insertRow(database, 'notebook', { ...rowOf('notebook'), id: 'second' })).toThrow(
      'one-notebook',
    );
  });

  it('have one seal in use, and a retired one stay retired', () => {
    const second = { ...rowOf('seal_key'), id: 'seal2', certificate: '31' };
    expect(() => insertRow(database, 'seal_key', second)).toThrow('one-seal-key');
    database.exec(`update seal_key set retired_at = 't2'`);
    insertRow(database, 'seal_key', second);
    expect(() => database.exec(`update seal_key set retired_at = null where id = 'seal'`)).toThrow(
      'never-changed',
    );
  });

  it('number the forms of an own compound without a gap', () => {
    const form = { ...rowOf('own_compound'), hash: 'oc3', n: 3 };
    expect(() => insertRow(database, 'own_compound', form)).toThrow('version-out-of-order');
    insertRow(database, 'own_compound', { ...form, hash: 'oc2', n: 2 });
  });

  it('number versions without a gap', () => {
    const version = { ...rowOf('version'), hash: 'v3', n: 3 };
    expect(() => insertRow(database, 'version', version)).toThrow('version-out-of-order');
    insertRow(database, 'version', { ...version, hash: 'v2', n: 2 });
  });

  it('take a signature only on the newest version of the entry it names', () => {
    insertRow(database, 'entry', { ...rowOf('entry'), id: 'other', number: 2 });
    const signature = { ...rowOf('signature'), hash: 'sig2', meaning: 'countersigned' };
    expect(() => insertRow(database, 'signature', { ...signature, entry_id: 'other' })).toThrow(
      'signature-does-not-fit',
    );
    expect(() => insertRow(database, 'signature', { ...signature, n: 2 })).toThrow('signature-does-not-fit');
    insertRow(database, 'version', { ...rowOf('version'), hash: 'v2', n: 2 });
    expect(() => insertRow(database, 'signature', signature)).toThrow('signature-does-not-fit');
  });
});

describe('the states of an entry in the database', () => {
  const state = (to: string): void => void database.prepare('update entry set state = ?').run(to);
  const draft = (): void =>
    void database.prepare(`update draft set content = '{"x":1}', revision = revision + 1`).run();
  const sign = (meaning: string, hash: string): void =>
    insertRow(database, 'signature', { ...rowOf('signature'), hash, meaning });

  it('begin as a draft', () => {
    expect(() =>
      insertRow(database, 'entry', { ...rowOf('entry'), id: 'x', number: 2, state: 'countersigned' }),
    ).toThrow('state-not-allowed');
  });

  it('lead nowhere but where the life of an entry leads', () => {
    const states = ['draft', 'signed', 'returned', 'countersigned', 'amending', 'struck-out'];
    const allowed = new Set([
      'draft>signed',
      'returned>signed',
      'signed>returned',
      'signed>countersigned',
      'countersigned>amending',
      'amending>signed',
      'amending>countersigned',
    ]);
    sign('returned', 'sig-r');
    sign('countersigned', 'sig-c');
    for (const from of states) {
      for (const to of states) {
        if (from === to) continue;
        // The guards out of the way to get to the state, and back in for the step.
        const guards = database
          .prepare(`select name, sql from sqlite_schema where type = 'trigger'`)
          .all() as { name: string; sql: string }[];
        for (const guard of guards) database.exec(`drop trigger ${guard.name}`);
        state(from);
        for (const guard of guards) database.exec(guard.sql);
        const step = `${from}>${to}`;
        if (allowed.has(step)) expect(() => state(to), step).not.toThrow();
        else expect(() => state(to), step).toThrow(/state-not-allowed|entry-locked/);
      }
    }
  });

  it('let a draft and a returned entry be struck out, and nothing lead back', () => {
    state('signed');
    sign('returned', 'sig-r');
    state('returned');
    state('struck-out');
    for (const to of ['draft', 'signed', 'returned', 'countersigned', 'amending']) {
      expect(() => state(to), to).toThrow(/state-not-allowed|signature-missing/);
    }
  });

  it('never let what was once countersigned be struck out, whatever it has come back to', () => {
    state('signed');
    sign('countersigned', 'sig-c');
    state('countersigned');
    state('amending');
    insertRow(database, 'version', { ...rowOf('version'), hash: 'v2', n: 2 });
    insertRow(database, 'signature', {
      ...rowOf('signature'),
      hash: 'sig-a',
      n: 2,
      version_hash: 'v2',
      meaning: 'amended',
    });
    state('signed');
    insertRow(database, 'signature', {
      ...rowOf('signature'),
      hash: 'sig-r',
      n: 2,
      version_hash: 'v2',
      meaning: 'returned',
    });
    state('returned');
    expect(() => state('struck-out')).toThrow('entry-locked');
  });

  it('rest on the signature they claim', () => {
    state('signed');
    expect(() => state('countersigned')).toThrow('signature-missing');
    expect(() => state('returned')).toThrow('signature-missing');
    sign('countersigned', 'sig2');
    state('countersigned');
  });

  it('refuse a draft’s change while the entry is signed, countersigned or struck out', () => {
    draft();
    state('signed');
    expect(draft).toThrow('entry-locked');
    sign('countersigned', 'sig2');
    state('countersigned');
    expect(draft).toThrow('entry-locked');
    state('amending');
    expect(draft).not.toThrow();
  });

  it('take the mark with the countersignature and at no other time', () => {
    const mark = (): void => void database.prepare(`update entry set mark = '10/10'`).run();
    expect(mark).toThrow('entry-locked');
    state('signed');
    expect(mark).toThrow('entry-locked');
    sign('countersigned', 'sig2');
    database.prepare(`update entry set state = 'countersigned', mark = '9/10'`).run();
    expect(mark).toThrow('entry-locked');
  });

  it('close the comments of a locked entry', () => {
    state('signed');
    sign('countersigned', 'sig2');
    state('countersigned');
    expect(() => insertRow(database, 'comment', { ...rowOf('comment'), id: 'late' })).toThrow('entry-locked');
    expect(() => database.exec('update comment set is_settled = 1')).toThrow('entry-locked');
  });
});
