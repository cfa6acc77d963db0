import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import type { StoredRow } from '../../../core/record/attest.ts';
import { applicationId } from '../../../electron/storage/format.ts';
import { migrate } from '../../../electron/storage/migrate.ts';
import type { Tables } from '../../core/record/paper-notebook.ts';

/** The order in which rows may refer to one another. */
const order = [
  'notebook',
  'person',
  'sealed_key',
  'certificate',
  'revocation',
  'record',
  'entry',
  'draft',
  'version',
  'signature',
  'event',
  'comment',
  'attachment',
  'foreign_event',
];

/** What a tamperer does: takes the guards out, does something, and puts them back letter for letter. */
export function withoutGuards(database: Database.Database, act: () => void): void {
  const guards = database.prepare(`select name, sql from sqlite_schema where type = 'trigger'`).all() as {
    readonly name: string;
    readonly sql: string;
  }[];
  for (const { name } of guards) database.exec(`drop trigger "${name}"`);
  act();
  for (const { sql } of guards) database.exec(sql);
}

/** Writes the tables of a paper notebook into a real file, made by the real migrations. */
export async function writeNotebookFile(path: string, tables: Tables): Promise<void> {
  const database = new Database(path);
  database.pragma(`application_id = ${applicationId}`);
  database.pragma('journal_mode = wal');
  const db = new Kysely<unknown>({ dialect: new SqliteDialect({ database }) });
  await migrate(db);
  withoutGuards(database, () => {
    for (const table of order) for (const row of tables[table] ?? []) insert(database, table, row);
  });
  // Leaves no remains of earlier pages, so that every byte of text in the file is one that counts.
  database.exec('vacuum');
  await db.destroy();
}

function insert(database: Database.Database, table: string, row: StoredRow): void {
  const known = new Set(
    (database.pragma(`table_info(${table})`) as { readonly name: string }[]).map((column) => column.name),
  );
  // A version has no signature column, and its paper row carries none to lose.
  const columns = Object.keys(row).filter((column) => known.has(column));
  const lost = Object.keys(row).filter((column) => !known.has(column) && row[column] !== null);
  if (lost.length > 0) throw new Error(`${table} has no column ${lost.join(', ')}`);
  database
    .prepare(`insert into "${table}" (${columns.join(', ')}) values (${columns.map(() => '?').join(', ')})`)
    .run(...columns.map((column) => row[column]));
}
