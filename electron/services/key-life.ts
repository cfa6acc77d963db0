import { departmentPerson, sealCertificate, sealRevocation, type Sign } from '../../core/record/build.ts';
import type { Certificate, Revocation, Role } from '../../core/record/objects.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { certifiedUntil } from './begin-notebook.ts';
import type { Reading } from './people.ts';
import type { Posting } from './posting.ts';

/** The department's key, unlocked: it alone certifies and withdraws. */
export interface DepartmentKey {
  readonly publicKey: string;
  readonly sign: Sign;
}

/** Certificates are counted through, whoever they are about. */
export async function nextSerial(db: Reading): Promise<number> {
  const last = await db
    .selectFrom('certificate')
    .select((build) => build.fn.max('serial').as('serial'))
    .executeTakeFirst();
  return (last?.serial ?? 0) + 1;
}

/** Stores the department's word on a key, from now on for the usual years. */
export async function addCertificateFor(
  posting: Posting,
  of: {
    readonly person: string;
    readonly printedName: string;
    readonly role: Role;
    readonly publicKey: string;
    readonly at: string;
  },
  by: DepartmentKey,
): Promise<Certificate> {
  const stated = {
    serial: await nextSerial(posting.db),
    person: of.person,
    printedName: of.printedName,
    role: of.role,
    publicKey: of.publicKey,
    notBefore: of.at,
    notAfter: certifiedUntil(of.at),
    issuer: by.publicKey,
  };
  await posting.addCertificate(sealCertificate(recordCrypto, stated, by.sign), {
    serial: stated.serial,
    person_id: stated.person,
    role: stated.role,
    public_key: stated.publicKey,
    not_before: stated.notBefore,
    not_after: stated.notAfter,
  });
  return { ...stated, type: 'certificate', format: 1 };
}

/**
 * Withdraws a key: a signed notice on each of its certificates that has none of this kind yet, and the
 * locked key is marked as no longer in use. Nothing is deleted, and what it signed stays.
 */
export async function withdrawKey(
  posting: Posting,
  key: string,
  notice: Pick<Revocation, 'kind' | 'since' | 'at' | 'reason'>,
  by: DepartmentKey,
): Promise<void> {
  const certificates = await posting.db
    .selectFrom('certificate')
    .select(['hash', 'person_id'])
    .where('public_key', '=', key)
    .execute();
  const known = await posting.db.selectFrom('revocation').select(['certificate_hash', 'kind']).execute();
  for (const { hash, person_id } of certificates) {
    if (known.some((row) => row.certificate_hash === hash && row.kind === notice.kind)) continue;
    const stated = { ...notice, certificateHash: hash, person: person_id, issuer: by.publicKey };
    await posting.addRevocation(sealRevocation(recordCrypto, stated, by.sign), {
      certificate_hash: hash,
      kind: notice.kind,
      since: notice.since,
    });
  }
  const stored = await posting.db
    .selectFrom('sealed_key')
    .select(['id', 'retired_at'])
    .where('public_key', '=', key)
    .executeTakeFirst();
  if (stored?.retired_at === null) {
    await posting.update('sealed_key', stored.id, { retired_at: notice.at });
  }
}

/** Whose key it is and how it stands; null for a key the department never certified. */
export async function holderOf(
  db: Reading,
  key: string,
): Promise<{
  readonly person: string;
  readonly kinds: ReadonlySet<string>;
  readonly isDepartments: boolean;
} | null> {
  const rows = await db
    .selectFrom('certificate')
    .select(['hash', 'person_id'])
    .where('public_key', '=', key)
    .execute();
  const [first] = rows;
  if (first === undefined) return null;
  const notices = await db
    .selectFrom('revocation')
    .select('kind')
    .where(
      'certificate_hash',
      'in',
      rows.map((row) => row.hash),
    )
    .execute();
  return {
    person: first.person_id,
    kinds: new Set(notices.map((row) => row.kind)),
    isDepartments: first.person_id === departmentPerson,
  };
}
