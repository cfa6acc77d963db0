import { sql, type Kysely } from 'kysely';
import type { Migration } from 'kysely/migration';
import { migrations } from '../../migrations/index.ts';

/** The number of migrations a file has seen. */
export async function versionOf(db: Kysely<never> | Kysely<unknown>): Promise<number> {
  const { rows } = await sql<{ user_version: number }>`pragma user_version`.execute(db);
  return rows[0]?.user_version ?? 0;
}

/**
 * Runs every step the file has not seen, all of them or none, and counts them in `user_version`
 * inside the same transaction.
 *
 * @param upTo number of steps the file shall have seen; leave out for all
 * @throws what a step throws; the file is then as it was
 */
export async function migrate(
  db: Kysely<unknown>,
  steps: Readonly<Record<string, Migration>> = migrations,
  upTo: number = Object.keys(steps).length,
): Promise<void> {
  const from = await versionOf(db);
  const pending = Object.values(steps).slice(from, upTo);
  if (pending.length === 0) return;
  await db.transaction().execute(async (transaction) => {
    for (const step of pending) await step.up(transaction);
    const broken = await sql`pragma foreign_key_check`.execute(transaction);
    if (broken.rows.length > 0) throw new Error('a migration left rows that point at nothing');
    await sql.raw(`pragma user_version = ${upTo}`).execute(transaction);
  });
}
