import { fail, ok, type Problem, type Result } from '../result.ts';
import { canonical, readCanonical } from './canonical.ts';
import { domainBytes, type RecordCrypto } from './domain.ts';
import type { SealStatement, Sealed, Sha256Hex } from './objects.ts';
import { readSealed } from './read-object.ts';
import { hash, matching, object, text } from './shape.ts';

/** The name under which a sealed PDF carries the department's word on its seal. */
export const sealFileName = 'fairleaf-seal.json';

const sealed = object({
  bytes: text(10_000),
  hash,
  signature: matching(/^[0-9a-f]{128}$/),
});
const isSealed = (value: unknown): value is Sealed => sealed(value, '') === null;

/** The text of `sealFileName`, and of a statement anywhere else. */
export const sealStatementText = (statement: Sealed): string =>
  canonical({ bytes: statement.bytes, hash: statement.hash, signature: statement.signature });

/** @error those of `readCanonical`; wrong-shape */
export function readSealStatementText(source: string): Result<Sealed, Problem> {
  const read = readCanonical(source, { maxLength: 20_000 });
  if (!read.ok) return read;
  return isSealed(read.value)
    ? ok(read.value)
    : fail({ code: 'wrong-shape', where: '', facts: { kind: 'seal' } });
}

/** What the column `sealed` of a seal key holds: the locked key, and the department's word on its certificate. */
export interface StoredSealKey {
  /** Canonical JSON of a sealed key (`electron/keys`). */
  readonly key: string;
  /** The certificate above the seal's own, DER as hex: what readers of PDF are told to trust. */
  readonly anchor: string;
  readonly statement: Sealed;
}

export const storedSealKeyText = ({ key, anchor, statement }: StoredSealKey): string =>
  canonical({
    type: 'seal-key',
    format: 1,
    key,
    anchor,
    statement: { bytes: statement.bytes, hash: statement.hash, signature: statement.signature },
  });

const stored = object({
  type: matching(/^seal-key$/),
  format: (value, path) => (value === 1 ? null : path),
  key: text(4096),
  anchor: matching(/^([0-9a-f]{2}){1,4000}$/),
  statement: sealed,
});

/** @error those of `readCanonical`; wrong-shape with the path at fault */
export function readStoredSealKey(source: string): Result<StoredSealKey, Problem> {
  const read = readCanonical(source, { maxLength: 40_000 });
  if (!read.ok) return read;
  const wrong = stored(read.value, '');
  return wrong === null
    ? ok(read.value as StoredSealKey)
    : fail({ code: 'wrong-shape', where: wrong, facts: { kind: 'seal' } });
}

/**
 * Holds the department's word on a seal against its keys and the certificate itself.
 *
 * @param departmentKeys raw keys the reader trusts, hex
 * @param certificates SHA-256 of the certificate and of its anchor, DER
 * @error seal-statement-changed, seal-statement-forged, seal-certificate-swapped
 */
export function checkSealStatement(
  crypto: RecordCrypto,
  statement: Sealed,
  departmentKeys: ReadonlySet<string>,
  certificates: { readonly certificate: Sha256Hex; readonly anchor: Sha256Hex },
): Result<SealStatement, Problem> {
  const wrong = (code: string): Result<never, Problem> => fail({ code, where: '', facts: {} });
  const read = readSealed(crypto, 'seal', statement);
  if (!read.ok) return wrong('seal-statement-changed');
  const { issuer } = read.value;
  const isGenuine =
    departmentKeys.has(issuer) &&
    statement.signature !== null &&
    crypto.verifyEd25519(issuer, domainBytes('seal', statement.bytes), statement.signature);
  if (!isGenuine) return wrong('seal-statement-forged');
  const { certificate, anchor } = read.value;
  return certificate === certificates.certificate && anchor === certificates.anchor
    ? ok(read.value)
    : wrong('seal-certificate-swapped');
}
