import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { sql } from 'kysely';
import { describe, expect, it } from 'vitest';
import { migrate, versionOf } from '../../electron/storage/migrate.ts';
import { currentVersion } from '../../electron/storage/format.ts';
import { migrations } from '../../migrations/index.ts';
import { openAt, schemaText } from './migrated.ts';
import { fittingRows, insertRow } from './rows.ts';

const snapshot = new URL('./schema.sql', import.meta.url);
const names = Object.keys(migrations);

describe('the list of migrations', () => {
  it('names every file of the folder, in order, and nothing else', () => {
    const files = readdirSync(new URL('../../migrations', import.meta.url))
      .filter((file) => /^\d{4}-.*\.ts$/.test(file))
      .map((file) => file.replace('.ts', ''))
      .sort();
    expect(names).toEqual(files);
    names.forEach((name, index) =>
      expect(name).toMatch(new RegExp(`^${String(index + 1).padStart(4, '0')}-`)),
    );
  });
  it('is as long as the version the program knows', () => {
    expect(currentVersion).toBe(names.length);
  });
  it('has no way back: a file is copied before it is migrated', () => {
    for (const step of Object.values(migrations)) expect(Object.keys(step)).toEqual(['up']);
  });
});

describe('migrating', () => {
  it('makes from an empty file the schema that stands in schema.sql', async () => {
    const { database, db } = await openAt();
    const schema = schemaText(database);
    // A wanted change is written by UPDATE_SCHEMA=1, and shows in the diff.
    if (process.env['UPDATE_SCHEMA'] === '1' || !existsSync(snapshot)) writeFileSync(snapshot, schema);
    expect(schema).toBe(readFileSync(snapshot, 'utf8'));
    expect(await versionOf(db)).toBe(currentVersion);
  });

  it.each(names.map((name, index) => [name, index + 1] as const))(
    'makes the same schema from %s on',
    async (_, steps) => {
      const { database, db } = await openAt(steps);
      expect(await versionOf(db)).toBe(steps);
      await migrate(db);
      expect(schemaText(database)).toBe(readFileSync(snapshot, 'utf8'));
    },
  );

  it('leaves every row of the version before as it was', async () => {
    const { database, db } = await openAt(1);
    const older = fittingRows.filter(([table]) => table !== 'own_compound' && table !== 'seal_key');
    for (const [table, row] of older) insertRow(database, table, row);
    const read = (): unknown => older.map(([table]) => database.prepare(`select * from ${table}`).all());
    const before = read();
    await migrate(db);
    expect(read()).toEqual(before);
  });

  it('does nothing to a file that has seen every step', async () => {
    const { database, db } = await openAt();
    const before = database.pragma('schema_version', { simple: true });
    await migrate(db);
    expect(database.pragma('schema_version', { simple: true })).toBe(before);
  });

  it('undoes every step when a later one fails', async () => {
    const { database, db } = await openAt(0);
    const failing = {
      ...migrations,
      '9998-works': { up: async (any: never) => void (await sql`create table works (x)`.execute(any)) },
      '9999-fails': { up: () => Promise.reject(new Error('no')) },
    };
    await expect(migrate(db, failing)).rejects.toThrow('no');
    expect(schemaText(database).trim()).toBe('');
    expect(await versionOf(db)).toBe(0);
  });

  it('refuses a step that leaves rows pointing at nothing', async () => {
    const { database, db } = await openAt();
    database.pragma('foreign_keys = off');
    const careless = {
      ...migrations,
      '9999-careless': {
        up: async (any: never) =>
          void (await sql`insert into record values ('r', 'nobody', 't', 'c', 'now')`.execute(any)),
      },
    };
    await expect(migrate(db, careless)).rejects.toThrow('point at nothing');
    expect(database.prepare('select count(*) from record').pluck().get()).toBe(0);
  });

  it('imports nothing of ours into a step', () => {
    for (const name of names) {
      const source = readFileSync(new URL(`../../migrations/${name}.ts`, import.meta.url), 'utf8');
      const imports = [...source.matchAll(/from '([^']+)'/g)].map((match) => match[1]);
      expect(new Set(imports)).toEqual(new Set(['kysely']));
    }
  });
});
