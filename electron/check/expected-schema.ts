import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { migrations } from '../../migrations/index.ts';
import { migrate } from '../storage/migrate.ts';

const known = new Map<number, ReadonlyMap<string, string>>();

/**
 * The schema that the numbered steps make, from an empty database in memory: nobody has to keep a
 * second list in step with the migrations.
 *
 * @param version number of steps the file has seen
 */
export async function expectedSchema(version: number): Promise<ReadonlyMap<string, string>> {
  const made = known.get(version);
  if (made !== undefined) return made;
  const database = new Database(':memory:');
  const db = new Kysely<unknown>({ dialect: new SqliteDialect({ database }) });
  try {
    await migrate(db, migrations, version);
    const schema = schemaOf(database);
    known.set(version, schema);
    return schema;
  } finally {
    await db.destroy();
  }
}

/** `trigger event_follows` → its SQL, for everything that was made and not made up by SQLite itself. */
export function schemaOf(database: Database.Database): ReadonlyMap<string, string> {
  const rows = database
    .prepare(
      `select type, name, sql from sqlite_schema
       where sql is not null and name not like 'sqlite@_%' escape '@' order by type, name`,
    )
    .all() as { readonly type: string; readonly name: string; readonly sql: string }[];
  return new Map(rows.map(({ type, name, sql }) => [`${type} ${name}`, sql]));
}
