import type { Kysely, Transaction } from 'kysely';
import type { PersonView } from '../../core/contract/views.ts';
import type { PersonRow, SealedKeyRow, Tables } from '../storage/tables.ts';

export type Reading = Kysely<Tables> | Transaction<Tables>;

export const personView = (row: PersonRow): PersonView => ({
  id: row.id,
  printedName: row.printed_name,
  initials: row.initials,
  role: row.role,
});

/** Everybody of the notebook, in the order of their names; ids → people. */
export async function readPeople(db: Reading): Promise<ReadonlyMap<string, PersonView>> {
  const rows = await db.selectFrom('person').selectAll().orderBy('printed_name').execute();
  return new Map(rows.map((row) => [row.id, personView(row)]));
}

export async function personById(db: Reading, id: string): Promise<PersonView | null> {
  const row = await db.selectFrom('person').selectAll().where('id', '=', id).executeTakeFirst();
  return row === undefined ? null : personView(row);
}

/** The key a person signs with now, with the certificate that vouches for it; null person: the department. */
export async function currentKey(
  db: Reading,
  personId: string | null,
): Promise<{
  readonly key: SealedKeyRow;
  readonly certificate: { hash: string; serial: number; not_after: string };
} | null> {
  const key = await db
    .selectFrom('sealed_key')
    .selectAll()
    .where('person_id', personId === null ? 'is' : '=', personId)
    .where('retired_at', 'is', null)
    .orderBy('created_at', 'desc')
    .limit(1)
    .executeTakeFirst();
  if (key === undefined) return null;
  const certificate = await db
    .selectFrom('certificate')
    .select(['hash', 'serial', 'not_after'])
    .where('public_key', '=', key.public_key)
    .orderBy('serial', 'desc')
    .limit(1)
    .executeTakeFirst();
  return certificate === undefined ? null : { key, certificate };
}
