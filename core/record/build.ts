import { canonical } from './canonical.ts';
import { domainBytes, zeroHash, type RecordCrypto, type SealedKind } from './domain.ts';
import type {
  AuditEvent,
  Certificate,
  Checkpoint,
  EntryVersion,
  OwnCompoundVersion,
  Revocation,
  Sealed,
  SealStatement,
  SignaturePayload,
} from './objects.ts';

/** Ed25519 over the bytes given, 128 hex characters: an unlocked key of `electron/keys`. */
export type Sign = (bytes: Uint8Array) => string;
type Sha = Pick<RecordCrypto, 'sha256'>;

/** What a caller states; type and format are added here. */
type Stated<T> = Omit<T, 'type' | 'format'>;

function seal(crypto: Sha, kind: SealedKind, object: object, sign: Sign | null): Sealed {
  const bytes = canonical(object);
  const signed = domainBytes(kind, bytes);
  return { bytes, hash: crypto.sha256(signed), signature: sign === null ? null : sign(signed) };
}

/**
 * Freezes a state of an entry. The version itself is not signed: signatures name its hash.
 *
 * @throws for content that is not plain data; parse it with the contract first
 */
export const sealVersion = (crypto: Sha, stated: Stated<EntryVersion>): Sealed =>
  seal(crypto, 'version', { ...stated, type: 'version', format: 1 } satisfies EntryVersion, null);

/** Signs the statement that `signingStatement` put into words. */
export const sealSignature = (crypto: Sha, stated: Stated<SignaturePayload>, sign: Sign): Sealed =>
  seal(crypto, 'signature', { ...stated, type: 'signature', format: 1 } satisfies SignaturePayload, sign);

/**
 * The next event of a notebook's trail.
 *
 * @param before the event before, or null for the first. `seq`, `previous` and `isClockBack` follow from it
 */
export function sealEvent(
  crypto: Sha,
  stated: Omit<Stated<AuditEvent>, 'seq' | 'previous' | 'isClockBack'>,
  before: { readonly seq: number; readonly hash: string; readonly at: string } | null,
): Sealed & { readonly event: AuditEvent } {
  const event: AuditEvent = {
    ...stated,
    type: 'event',
    format: 1,
    seq: before === null ? 1 : before.seq + 1,
    previous: before === null ? zeroHash : before.hash,
    // Both are UTC with `Z` and milliseconds, so comparing the text compares the instants.
    isClockBack: before !== null && stated.at < before.at,
  };
  return { ...seal(crypto, 'event', event, null), event };
}

/** The department's statement that a key is a person's; `sign` is the department's key. */
export const sealCertificate = (crypto: Sha, stated: Stated<Certificate>, sign: Sign): Sealed =>
  seal(crypto, 'certificate', { ...stated, type: 'certificate', format: 1 } satisfies Certificate, sign);

export const sealRevocation = (crypto: Sha, stated: Stated<Revocation>, sign: Sign): Sealed =>
  seal(crypto, 'revocation', { ...stated, type: 'revocation', format: 1 } satisfies Revocation, sign);

export const sealCheckpoint = (crypto: Sha, stated: Stated<Checkpoint>, sign: Sign): Sealed =>
  seal(crypto, 'checkpoint', { ...stated, type: 'checkpoint', format: 1 } satisfies Checkpoint, sign);

/** The department's statement that a certificate is its seal's; `sign` is the department's key. */
export const sealSealStatement = (crypto: Sha, stated: Stated<SealStatement>, sign: Sign): Sealed =>
  seal(crypto, 'seal', { ...stated, type: 'seal', format: 1 } satisfies SealStatement, sign);

/** A saved form of a compound of the department's own. The event that wrote it vouches for its hash. */
export const sealOwnCompound = (crypto: Sha, stated: Stated<OwnCompoundVersion>): Sealed =>
  seal(
    crypto,
    'own_compound',
    { ...stated, type: 'own-compound', format: 1 } satisfies OwnCompoundVersion,
    null,
  );

/** Person id of the department's own key, on its own certificate and on those of its successors. */
export const departmentPerson = 'department';
