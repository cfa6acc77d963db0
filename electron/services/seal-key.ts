import type { SealView } from '../../core/contract/views.ts';
import { departmentPerson, sealSealStatement, type Sign } from '../../core/record/build.ts';
import type { SealStatement, Sealed } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { readStoredSealKey, storedSealKeyText, type StoredSealKey } from '../../core/record/seal-key.ts';
import { createSealKey } from '../export/seal-certificate.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';
import {
  changePassphrase,
  openPrivateKey,
  readSealedKey,
  sealedKeyText,
  sealPrivateKey,
  type ScryptCost,
  type SealedKey,
} from '../keys/sealed-key.ts';
import type { SealKeyRow } from '../storage/tables.ts';
import { certifiedUntil } from './begin-notebook.ts';
import type { Reading } from './people.ts';
import type { Program } from './program.ts';

/** The department's seal, opened for one file. Wiped by whoever had it opened. */
export interface SealWith {
  /** X.509, DER. */
  readonly certificate: Uint8Array;
  /** X.509, DER. */
  readonly anchor: Uint8Array;
  /** PKCS #8, DER. */
  readonly privateKey: Uint8Array;
  /** The department's word on the certificate, which goes into the file. */
  readonly statement: Sealed;
  /** `Department of Chemistry, Wexcombe College`. */
  readonly name: string;
  /** When it seals, UTC ISO 8601. */
  readonly at: string;
}

/**
 * Readers of PDF hold a seal against today's date: without a time stamp of a third party, a certificate
 * that ended makes every older seal look doubtful to them. So it lasts longer than a key of the record.
 */
const yearsSealed = 20;

/** X.509 counts whole seconds. */
const wholeSecond = (at: string): string => `${at.slice(0, 19)}.000Z`;

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');

/**
 * Makes a seal for the department: an ECDSA key with a certificate, vouched for by the department's own
 * key and sealed under its passphrase. Not stored yet: making it is slow and belongs outside the
 * transaction.
 */
export async function makeSealKey(
  program: Pick<Program, 'clock' | 'newId'>,
  of: {
    readonly notebook: string;
    readonly institution: string;
    readonly department: string;
    readonly serial: number;
    /** The department's own key. */
    readonly issuer: string;
    readonly certify: Sign;
    /** The department's, already found right. */
    readonly passphrase: string;
  },
  cost: ScryptCost,
): Promise<SealKeyRow> {
  const at = program.clock.now();
  const notBefore = wholeSecond(at);
  const notAfter = wholeSecond(certifiedUntil(at, yearsSealed));
  const { institution, department, serial } = of;
  const made = await createSealKey({
    institution,
    department,
    serial,
    notBefore: new Date(notBefore),
    notAfter: new Date(notAfter),
  });
  const certificate = sha256(made.certificate);
  const id = program.newId();
  const key = await sealPrivateKey(
    made.privateKey,
    { person: departmentPerson, keyId: id, publicKey: certificate },
    of.passphrase,
    cost,
  );
  made.privateKey.fill(0);
  const statement = sealSealStatement(
    recordCrypto,
    {
      notebook: of.notebook,
      institution,
      department,
      serial,
      certificate,
      anchor: sha256(made.anchor),
      notBefore,
      notAfter,
      issuer: of.issuer,
    },
    of.certify,
  );
  return {
    id,
    certificate: hex(made.certificate),
    sealed: storedSealKeyText({ key: sealedKeyText(key), anchor: hex(made.anchor), statement }),
    created_at: at,
    retired_at: null,
  };
}

/** The seal in use, or null. */
export async function sealInUse(db: Reading): Promise<SealKeyRow | null> {
  const row = await db.selectFrom('seal_key').selectAll().where('retired_at', 'is', null).executeTakeFirst();
  return row ?? null;
}

function partsOf(row: SealKeyRow): { stored: StoredSealKey; key: SealedKey; statement: SealStatement } {
  const stored = readStoredSealKey(row.sealed);
  const key = stored.ok ? readSealedKey(stored.value.key) : null;
  const statement = stored.ok ? readObject('seal', stored.value.statement.bytes) : null;
  if (!stored.ok || key?.ok !== true || statement?.ok !== true) {
    throw new Error('the stored seal of the department cannot be read');
  }
  return { stored: stored.value, key: key.value, statement: statement.value };
}

/** What the department said of this seal. */
export const statementOfSeal = (row: SealKeyRow): SealStatement => partsOf(row).statement;

/**
 * Opens the seal with the department's passphrase, which has just opened the department's own key.
 *
 * @throws when the two are not sealed under the same passphrase: then the file was changed
 */
export async function openSeal(row: SealKeyRow, passphrase: string, at: string): Promise<SealWith> {
  const { stored, key, statement } = partsOf(row);
  const opened = await openPrivateKey(key, passphrase);
  if (!opened.ok) throw new Error(`the seal cannot be opened: ${opened.error.code}`);
  const privateKey = new Uint8Array(opened.value);
  opened.value.fill(0);
  return {
    certificate: new Uint8Array(Buffer.from(row.certificate, 'hex')),
    anchor: new Uint8Array(Buffer.from(stored.anchor, 'hex')),
    privateKey,
    statement: stored.statement,
    name: `${statement.department}, ${statement.institution}`,
    at,
  };
}

/** The column `sealed` of the same seal, under another passphrase of the department. */
export async function resealed(
  row: SealKeyRow,
  old: string,
  next: string,
  cost: ScryptCost,
): Promise<string> {
  const { stored, key } = partsOf(row);
  const again = await changePassphrase(key, old, next, cost);
  if (!again.ok) throw new Error(`the seal cannot be opened: ${again.error.code}`);
  return storedSealKeyText({ ...stored, key: sealedKeyText(again.value) });
}

/** How long before its end a seal is called due for renewal, days. */
const renewalDays = 90;

/** The seals there were and are, the newest first. */
export async function sealViews(db: Reading, now: string): Promise<readonly SealView[]> {
  const rows = await db.selectFrom('seal_key').selectAll().orderBy('created_at', 'desc').execute();
  const soon = new Date(Date.parse(now) + renewalDays * 86_400_000).toISOString();
  return rows.map((row): SealView => {
    const { stored, statement } = partsOf(row);
    const { serial, department, institution, anchor, notBefore, notAfter } = statement;
    return {
      serial,
      name: `${department}, ${institution}`,
      sha256: anchor,
      notBefore,
      notAfter,
      retiredAt: row.retired_at,
      standing:
        row.retired_at !== null
          ? 'retired'
          : now > notAfter
            ? 'ended'
            : soon > notAfter
              ? 'ends-soon'
              : 'in-use',
      pem: pemOf(stored.anchor),
    };
  });
}

/** RFC 7468: what certificate stores of computers and PDF readers import. */
const pemOf = (derHex: string): string =>
  [
    '-----BEGIN CERTIFICATE-----',
    ...(Buffer.from(derHex, 'hex')
      .toString('base64')
      .match(/.{1,64}/g) ?? []),
    '-----END CERTIFICATE-----',
    '',
  ].join('\n');
