import { departmentPerson } from '../build.ts';
import type { CheckInput } from '../check-input.ts';
import { domainBytes, domainHash, type RecordCrypto } from '../domain.ts';
import { isFingerprintOf } from '../fingerprint.ts';
import type { Certificate, Revocation, Sealed, Sha256Hex } from '../objects.ts';
import { readSealed } from '../read-object.ts';
import { dateText, whenText } from '../when.ts';
import { Findings } from './findings.ts';
import { checkColumns } from './columns.ts';
import { faultFacts, markDamaged } from './fault.ts';

export interface KnownCertificate {
  readonly certificate: Certificate;
  /** The department's signature over it holds. */
  readonly isTrusted: boolean;
}

/** Who may sign, and on whose word. */
export interface People {
  readonly certificates: ReadonlyMap<Sha256Hex, KnownCertificate>;
  readonly revocations: ReadonlyMap<Sha256Hex, Revocation>;
  /** Keys of the department that the pinned key leads to, through signed successions. */
  readonly departmentKeys: ReadonlySet<string>;
  /** The key the check starts from. */
  readonly startKey: string;
  /** True when that key was given from outside the file. */
  readonly isPinned: boolean;
}

export const certificatePlace = (certificate: Certificate): string =>
  certificate.person === departmentPerson
    ? `certificate ${certificate.serial}, of the department`
    : `certificate ${certificate.serial}, of ${certificate.printedName}`;

interface ReadCertificate {
  readonly sealed: Sealed;
  readonly certificate: Certificate;
}

function readAll(
  input: CheckInput,
  crypto: RecordCrypto,
  findings: Findings,
  damaged: Set<string>,
): readonly ReadCertificate[] {
  const list: ReadCertificate[] = [];
  let place = 0;
  for (const sealed of input.certificates) {
    place += 1;
    const read = readSealed(crypto, 'certificate', sealed);
    if (read.ok) {
      checkColumns('certificate', sealed, read.value, () => certificatePlace(read.value), findings);
      list.push({ sealed, certificate: read.value });
      continue;
    }
    findings.broken('certificate-changed', `certificate number ${place} in the file`, faultFacts(read.error));
    markDamaged(crypto, damaged, 'certificate', sealed);
  }
  return list;
}

const isSignedBy = (
  crypto: RecordCrypto,
  kind: 'certificate' | 'revocation',
  sealed: Sealed,
  publicKey: string,
): boolean =>
  sealed.signature !== null &&
  crypto.verifyEd25519(publicKey, domainBytes(kind, sealed.bytes), sealed.signature);

/** The department's own keys among the certificates, and the one that was pinned. */
function startKeyOf(
  input: CheckInput,
  crypto: RecordCrypto,
  read: readonly ReadCertificate[],
): string | null {
  const { pinnedKey } = input;
  if (pinnedKey === null) return input.departmentKey;
  if (/^[0-9a-f]{64}$/.test(pinnedKey)) return pinnedKey;
  const candidates = [
    input.departmentKey,
    ...read
      .filter(({ certificate }) => certificate.person === departmentPerson)
      .map(({ certificate }) => certificate.publicKey),
  ];
  return candidates.find((key) => isFingerprintOf(pinnedKey, domainHash(crypto, 'key', key))) ?? null;
}

function trustedKeys(crypto: RecordCrypto, start: string, read: readonly ReadCertificate[]): Set<string> {
  const trusted = new Set([start]);
  const successions = read.filter(({ certificate }) => certificate.person === departmentPerson);
  for (let grew = true; grew;) {
    grew = false;
    for (const { sealed, certificate } of successions) {
      if (trusted.has(certificate.publicKey) || !trusted.has(certificate.issuer)) continue;
      if (!isSignedBy(crypto, 'certificate', sealed, certificate.issuer)) continue;
      trusted.add(certificate.publicKey);
      grew = true;
    }
  }
  return trusted;
}

/** Reads certificates and revocations and follows the department's word from the pinned key. */
export function checkPeople(
  input: CheckInput,
  crypto: RecordCrypto,
  findings: Findings,
  damaged: Set<string>,
): People {
  const read = readAll(input, crypto, findings, damaged);
  const found = startKeyOf(input, crypto, read);
  const startKey = found ?? input.departmentKey;
  const departmentKeys = found === null ? new Set<string>() : trustedKeys(crypto, found, read);
  if (!departmentKeys.has(input.departmentKey)) {
    findings.broken('department-key-differs', 'the department’s key');
  }
  const certificates = new Map<Sha256Hex, KnownCertificate>();
  const holder = new Map<string, Certificate>();
  for (const { sealed, certificate } of [...read].sort(
    (a, b) => a.certificate.serial - b.certificate.serial,
  )) {
    const isTrusted =
      departmentKeys.has(certificate.issuer) && isSignedBy(crypto, 'certificate', sealed, certificate.issuer);
    if (!isTrusted) findings.broken('certificate-forged', certificatePlace(certificate));
    const earlier = holder.get(certificate.publicKey);
    if (earlier !== undefined && earlier.person !== certificate.person) {
      findings.broken('key-of-two-persons', certificatePlace(certificate), { other: earlier.printedName });
      certificates.set(sealed.hash, { certificate, isTrusted: false });
      continue;
    }
    holder.set(certificate.publicKey, certificate);
    certificates.set(sealed.hash, { certificate, isTrusted });
  }
  const revocations = checkRevocations(input, crypto, departmentKeys, certificates, findings);
  checkIssuers(certificates, revocations, findings);
  return {
    certificates,
    revocations,
    departmentKeys,
    startKey,
    isPinned: input.pinnedKey !== null,
  };
}

/** Of two notices about one key the one that says more: wrong hands before retired, and the earlier day. */
function graver(a: Revocation | undefined, b: Revocation): Revocation {
  if (a === undefined) return b;
  if (a.kind !== b.kind) return a.kind === 'compromised' ? a : b;
  return a.since <= b.since ? a : b;
}

/** A retired key of the department certifies nobody any more. */
function checkIssuers(
  certificates: ReadonlyMap<Sha256Hex, KnownCertificate>,
  revocations: ReadonlyMap<Sha256Hex, Revocation>,
  findings: Findings,
): void {
  const retiredAt = new Map<string, string>();
  for (const [hash, { certificate }] of certificates) {
    const revocation = revocations.get(hash);
    if (revocation !== undefined) retiredAt.set(certificate.publicKey, revocation.at);
  }
  for (const { certificate } of certificates.values()) {
    const at = retiredAt.get(certificate.issuer);
    if (at === undefined || certificate.notBefore <= at) continue;
    findings.doubtful('certified-after-retirement', certificatePlace(certificate), {
      at: dateText(at.slice(0, 10)),
    });
  }
}

function checkRevocations(
  input: CheckInput,
  crypto: RecordCrypto,
  departmentKeys: ReadonlySet<string>,
  certificates: ReadonlyMap<Sha256Hex, KnownCertificate>,
  findings: Findings,
): ReadonlyMap<Sha256Hex, Revocation> {
  const revocations = new Map<Sha256Hex, Revocation>();
  for (const sealed of input.revocations) {
    const read = readSealed(crypto, 'revocation', sealed);
    if (!read.ok) {
      findings.broken('revocation-changed', 'a withdrawn key', faultFacts(read.error));
      continue;
    }
    const revocation = read.value;
    checkColumns('revocation', sealed, revocation, () => 'a withdrawn key', findings);
    const known = certificates.get(revocation.certificateHash);
    const place =
      known === undefined ? 'a withdrawn key' : `withdrawal of ${certificatePlace(known.certificate)}`;
    const isGenuine =
      departmentKeys.has(revocation.issuer) && isSignedBy(crypto, 'revocation', sealed, revocation.issuer);
    if (!isGenuine) {
      findings.broken('revocation-forged', place);
      continue;
    }
    const { kind, certificateHash } = revocation;
    const facts = {
      at: dateText(revocation.at.slice(0, 10)),
      since: whenText(revocation.since, 0),
      reason: revocation.reason,
    };
    const isRetired = kind === 'retired';
    if (known !== undefined) {
      findings.note(
        isRetired ? 'key-retired' : 'key-in-wrong-hands',
        certificatePlace(known.certificate),
        facts,
      );
    }
    revocations.set(certificateHash, graver(revocations.get(certificateHash), revocation));
  }
  return revocations;
}

/** The keys that the department's word in this input leads to: what else it signed is held against them. */
export const departmentKeysOf = (input: CheckInput, crypto: RecordCrypto): ReadonlySet<string> =>
  checkPeople(input, crypto, new Findings(), new Set()).departmentKeys;
