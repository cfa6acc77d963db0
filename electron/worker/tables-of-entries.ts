import type Database from 'better-sqlite3';
import type { StoredRow } from '../../core/record/attest.ts';
import type { ReadTable } from '../../core/record/check-tables.ts';

const ofEntries = 'entry_id in (select value from json_each(:ids))';
const narrowed: Readonly<Record<string, string>> = {
  version: ofEntries,
  signature: ofEntries,
  comment: ofEntries,
  entry: 'id in (select value from json_each(:ids))',
  event: `(${ofEntries} or (entry_id is null
    and record_id in (select record_id from entry where id in (select value from json_each(:ids)))))`,
};
const order: Readonly<Record<string, string>> = { event: 'seq', foreign_event: 'notebook, seq' };

/** Reads the tables of a notebook as far as some entries are concerned: a record is a small part of a class. */
export function tablesOfEntries(database: Database.Database, ids: ReadonlySet<string>): ReadTable {
  const names = new Set(
    database.prepare(`select name from sqlite_schema where type = 'table'`).pluck().all() as string[],
  );
  const list = JSON.stringify([...ids]);
  return (table) => {
    if (!names.has(table)) return [];
    const where = narrowed[table];
    const statement = database.prepare(
      `select * from "${table}" ${where === undefined ? '' : `where ${where}`} order by ${order[table] ?? 'rowid'}`,
    );
    return (where === undefined ? statement.all() : statement.all({ ids: list })) as StoredRow[];
  };
}
