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
  const certificates = await db
    .selectFrom('certificate')
    .leftJoin('revocation', 'revocation.certificate_hash', 'certificate.hash')
    .select(['certificate.hash', 'serial', 'not_after', 'revocation.hash as revocation'])
    .where('public_key', '=', key.public_key)
    .orderBy('serial', 'desc')
    .execute();
  const [newest] = certificates;
  // A notice may have come from the department with a hand-in: the key here does not know of it.
  if (newest === undefined || certificates.some((one) => one.revocation !== null)) return null;
  const { hash, serial, not_after } = newest;
  return { key, certificate: { hash, serial, not_after } };
}

/** Ids of the people who can sign in here: those with a key in use. */
export async function peopleWithKey(db: Reading): Promise<ReadonlySet<string>> {
  const rows = await db
    .selectFrom('sealed_key')
    .select('person_id')
    .distinct()
    .where('person_id', 'is not', null)
    .where('retired_at', 'is', null)
    .where((build) =>
      build.not(
        build.exists(
          build
            .selectFrom('certificate')
            .innerJoin('revocation', 'revocation.certificate_hash', 'certificate.hash')
            .select('certificate.hash')
            .whereRef('certificate.public_key', '=', 'sealed_key.public_key'),
        ),
      ),
    )
    .execute();
  return new Set(rows.flatMap((row) => (row.person_id === null ? [] : [row.person_id])));
}
