import type { KeyListView, KeyView } from '../../core/contract/views.ts';
import { departmentPerson } from '../../core/record/build.ts';
import { keyFingerprint } from '../../core/record/fingerprint.ts';
import { readObject } from '../../core/record/read-object.ts';
import { recordCrypto } from '../keys/crypto.ts';
import type { CertificateRow, RevocationRow } from '../storage/tables.ts';
import { readPeople, type Reading } from './people.ts';

/** How long before its end a certificate is called due for renewal, days. */
const renewalDays = 60;

type Certified = Pick<
  CertificateRow,
  'hash' | 'serial' | 'person_id' | 'public_key' | 'not_before' | 'not_after'
>;

/** The notice that says most about a key: wrong hands before retired. */
function noticeOn(
  certificates: readonly Certified[],
  revocations: readonly RevocationRow[],
): Pick<KeyView, 'standing' | 'since' | 'at' | 'reason'> | null {
  const hashes = new Set(certificates.map((one) => one.hash));
  const own = revocations.filter((row) => hashes.has(row.certificate_hash));
  const [row] = own.toSorted((a, b) => a.kind.localeCompare(b.kind) || a.since.localeCompare(b.since));
  const read = row === undefined ? null : readObject('revocation', row.bytes);
  if (row === undefined || read?.ok !== true) return null;
  return { standing: row.kind, since: row.since, at: read.value.at, reason: read.value.reason };
}

function keyView(
  certificates: readonly Certified[],
  revocations: readonly RevocationRow[],
  inUse: ReadonlySet<string>,
  now: string,
): KeyView {
  const sorted = certificates.toSorted((a, b) => a.serial - b.serial);
  const [first, last] = [sorted[0], sorted.at(-1)];
  if (first === undefined || last === undefined) throw new Error('a key has a certificate');
  const soon = new Date(Date.parse(now) + renewalDays * 86_400_000).toISOString();
  const standing = now > last.not_after ? 'ended' : soon > last.not_after ? 'ends-soon' : 'in-use';
  return {
    key: last.public_key,
    fingerprint: keyFingerprint(recordCrypto, last.public_key),
    serial: last.serial,
    notBefore: first.not_before,
    notAfter: last.not_after,
    isHere: inUse.has(last.public_key),
    ...(noticeOn(certificates, revocations) ?? { standing, since: null, at: null, reason: '' }),
  };
}

/** Everybody's keys, the newest of each person first, and those of the department itself. */
export async function readKeyList(db: Reading, now: string): Promise<KeyListView> {
  const certificates = await db
    .selectFrom('certificate')
    .select(['hash', 'serial', 'person_id', 'public_key', 'not_before', 'not_after'])
    .execute();
  const revocations = await db.selectFrom('revocation').selectAll().execute();
  const stored = await db
    .selectFrom('sealed_key')
    .select('public_key')
    .where('retired_at', 'is', null)
    .execute();
  const inUse = new Set(stored.map((row) => row.public_key));
  const byPerson = Map.groupBy(certificates, (row) => row.person_id);
  const keysOf = (person: string): readonly KeyView[] =>
    [...Map.groupBy(byPerson.get(person) ?? [], (row) => row.public_key).values()]
      .map((own) => keyView(own, revocations, inUse, now))
      .toSorted((a, b) => b.serial - a.serial);
  const people = [...(await readPeople(db)).values()];
  return {
    people: people.map((person) => ({ person, keys: keysOf(person.id) })),
    department: keysOf(departmentPerson),
  };
}
