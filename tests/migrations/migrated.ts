import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { onTestFinished } from 'vitest';
import { migrations } from '../../migrations/index.ts';
import { migrate } from '../../electron/storage/migrate.ts';

/** An empty database in memory after the first `steps` migrations, opened as the program does. */
export async function openAt(
  steps: number = Object.keys(migrations).length,
): Promise<{ readonly database: Database.Database; readonly db: Kysely<unknown> }> {
  const database = new Database(':memory:');
  database.pragma('recursive_triggers = on');
  database.pragma('foreign_keys = on');
  const db = new Kysely<unknown>({ dialect: new SqliteDialect({ database }) });
  onTestFinished(() => db.destroy());
  await migrate(db, migrations, steps);
  return { database, db };
}

/** The whole schema as SQL, in a fixed order. */
export function schemaText(database: Database.Database): string {
  const rows = database
    .prepare(
      `select sql from sqlite_schema where sql is not null
        order by case type when 'table' then 1 when 'index' then 2 else 3 end, name`,
    )
    .pluck()
    .all() as string[];
  return `${rows.map((sql) => `${sql};`).join('\n\n')}\n`;
}
