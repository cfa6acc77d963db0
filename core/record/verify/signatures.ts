import type { CheckInput } from '../check-input.ts';
import { domainBytes, type RecordCrypto } from '../domain.ts';
import { meaningsOf } from '../life.ts';
import type { Sealed, Sha256Hex, SignaturePayload } from '../objects.ts';
import { readObject, readSealed } from '../read-object.ts';
import { meaningLabel } from '../signing-statement.ts';
import { whenText } from '../when.ts';
import type { Entries, KnownVersion } from './entries.ts';
import { checkColumns } from './columns.ts';
import { faultFacts, markDamaged } from './fault.ts';
import type { Findings } from './findings.ts';
import { certificatePlace, type People } from './people.ts';
import { evidenceKey, type Trail } from './trail.ts';

export interface KnownSignature {
  readonly hash: Sha256Hex;
  readonly payload: SignaturePayload;
  readonly place: string;
  /** Nothing is wrong with it. */
  readonly isGood: boolean;
}

export interface Surroundings {
  readonly input: CheckInput;
  readonly crypto: RecordCrypto;
  readonly findings: Findings;
  readonly people: People;
  readonly trail: Trail;
  readonly foreign: ReadonlyMap<string, ReadonlyMap<number, Sha256Hex>>;
  readonly entries: Entries;
  /** Hashes, as stored and as computed, of objects already reported as changed. */
  readonly damaged: Set<string>;
}

export const signaturePlace = (payload: SignaturePayload, entries: Entries): string =>
  `${entries.placeOf(payload.entry)}, version ${payload.n}: “${meaningLabel[payload.meaning]} ${payload.signer.printedName}”`;

/** Every signature by itself, then those of each version together. */
export function* checkSignatures(around: Surroundings): Generator<number, readonly KnownSignature[]> {
  const { input, crypto, findings, entries } = around;
  const good: KnownSignature[] = [];
  const unreadable: string[] = [];
  let count = 0;
  for (const sealed of input.signatures) {
    count += 1;
    const read = readSealed(crypto, 'signature', sealed);
    if (!read.ok) {
      const whole = readObject('signature', sealed.bytes);
      const place = whole.ok ? signaturePlace(whole.value, entries) : `signature number ${count} in the file`;
      findings.broken('signature-changed', place, faultFacts(read.error));
      markDamaged(crypto, around.damaged, 'signature', sealed);
      unreadable.push(sealed.bytes);
      continue;
    }
    const place = signaturePlace(read.value, entries);
    const brokenBefore = findings.brokenCount;
    checkColumns('signature', sealed, read.value, () => place, findings);
    checkKey(around, sealed, read.value, place);
    checkTarget(around, read.value, place);
    checkTrailPosition(around, read.value, place);
    checkTold(around, sealed.hash, read.value, place);
    const rests = [read.value.versionHash, read.value.certificateHash];
    const isGood = findings.brokenCount === brokenBefore && !rests.some((hash) => around.damaged.has(hash));
    good.push({ hash: sealed.hash, payload: read.value, place, isGood });
    if (count % 50 === 0) yield count;
  }
  const byVersion = Map.groupBy(good, (signature) => signature.payload.versionHash);
  for (const signatures of byVersion.values()) checkTogether(around, signatures);
  for (const version of entries.byHash.values()) {
    const own = byVersion.get(version.hash) ?? [];
    const isDamaged = unreadable.some((bytes) => bytes.includes(version.hash));
    if (!isDamaged && !own.some((signature) => isAuthors(signature.payload))) {
      findings.broken('version-unsigned', version.place);
    }
  }
  return good;
}

export const isAuthors = (payload: SignaturePayload): boolean =>
  payload.meaning === 'performed' || payload.meaning === 'amended';

function checkKey(around: Surroundings, sealed: Sealed, payload: SignaturePayload, place: string): void {
  const { crypto, findings, people } = around;
  const known = people.certificates.get(payload.certificateHash);
  if (known === undefined) {
    if (!around.damaged.has(payload.certificateHash)) {
      findings.broken('signature-without-certificate', place);
    }
    return;
  }
  const { certificate } = known;
  if (!known.isTrusted) {
    findings.broken('signature-by-uncertified-key', place, { certificate: certificatePlace(certificate) });
  }
  const signed = domainBytes('signature', sealed.bytes);
  const { signature } = sealed;
  if (signature === null || !crypto.verifyEd25519(certificate.publicKey, signed, signature)) {
    findings.broken('signature-invalid', place, { person: certificate.printedName });
  }
  const { signer } = payload;
  const isSame =
    signer.person === certificate.person &&
    signer.printedName === certificate.printedName &&
    signer.role === certificate.role;
  if (!isSame) {
    findings.broken('signer-differs', place, {
      stated: `${signer.printedName}, ${signer.role}`,
      certified: `${certificate.printedName}, ${certificate.role}`,
    });
  }
  if (!meaningsOf[certificate.role].includes(payload.meaning)) {
    findings.broken('meaning-not-allowed', place, { role: certificate.role });
  }
  if (payload.signedAt < certificate.notBefore || payload.signedAt > certificate.notAfter) {
    findings.doubtful('signed-outside-validity', place, {
      signed: whenText(payload.signedAt, payload.offsetMinutes),
      from: whenText(certificate.notBefore, payload.offsetMinutes),
      until: whenText(certificate.notAfter, payload.offsetMinutes),
    });
  }
  checkRevoked(around, payload, place);
}

/** The first moment somebody else is known to have seen a signature; null when nobody did. */
function witnessedAt(around: Surroundings, payload: SignaturePayload): string | null {
  const seen = [...around.input.witnesses]
    .filter((witness) => witness.notebook === payload.notebook && witness.seq > payload.eventSeq)
    .map((witness) => witness.seenAt)
    .sort();
  return seen[0] ?? null;
}

function checkRevoked(around: Surroundings, payload: SignaturePayload, place: string): void {
  const revocation = around.people.revocations.get(payload.certificateHash);
  if (revocation?.kind === 'retired' && payload.signedAt > revocation.at) {
    around.findings.doubtful('signed-after-retirement', place, {
      at: whenText(revocation.at, payload.offsetMinutes),
    });
  }
  if (revocation?.kind !== 'compromised') return;
  const seen = witnessedAt(around, payload);
  if (seen !== null && seen < revocation.since) return;
  around.findings.doubtful('signed-with-compromised-key', place, {
    since: whenText(revocation.since, payload.offsetMinutes),
  });
}

function checkTarget(around: Surroundings, payload: SignaturePayload, place: string): void {
  const { entries, findings } = around;
  const version = entries.byHash.get(payload.versionHash);
  if (version === undefined) {
    if (!around.damaged.has(payload.versionHash)) findings.broken('signature-without-version', place);
    return;
  }
  const isItsOwn =
    version.entry === payload.entry && version.record === payload.record && version.n === payload.n;
  if (!isItsOwn) {
    findings.broken('signature-moved', place, { other: version.place });
    return;
  }
  const isAuthor = payload.signer.person === version.author.person;
  if (isAuthors(payload) && !(isAuthor && payload.signer.printedName === version.author.printedName)) {
    findings.broken('signed-by-another', place, { author: version.author.printedName });
  }
  if (!isAuthors(payload) && payload.meaning !== 'deposited' && isAuthor) {
    findings.broken('own-work-reviewed', place, { person: payload.signer.printedName });
  }
}

/** The signature says how far the trail had got: that cannot be true of a trail that ends earlier. */
function checkTrailPosition(around: Surroundings, payload: SignaturePayload, place: string): void {
  const { input, trail, findings } = around;
  const { eventSeq: seq } = payload;
  if (payload.notebook !== input.notebook) {
    const head = around.foreign.get(payload.notebook)?.get(seq);
    if (head === undefined) findings.note('signed-in-another-notebook', place);
    else if (head !== payload.eventHead) findings.broken('trail-differs', place, { seq });
    return;
  }
  if (input.scope === 'notebook' && seq > trail.last) {
    findings.broken('trail-cut-off', place, { seq, last: trail.last });
    return;
  }
  const head = trail.heads[seq];
  // A missing or unreadable event has been reported at its own place.
  if (head === undefined) return;
  if (head !== payload.eventHead) {
    // One changed event is reported where it is, not again at each later signature.
    if (trail.firstBroken !== seq) findings.broken('trail-differs', place, { seq });
    return;
  }
  const seen = trail.times[seq];
  if (
    seen !== undefined &&
    payload.signedAt < seen &&
    Date.parse(seen) - Date.parse(payload.signedAt) > 5000
  ) {
    findings.doubtful('signed-before-trail', place, {
      signed: whenText(payload.signedAt, payload.offsetMinutes),
      event: whenText(seen, payload.offsetMinutes),
    });
  }
}

/**
 * A signature is written and told in one go, so the event that tells of it has its time. One that names
 * an earlier day was put in afterwards: with a retired key, say, before the day it was retired.
 */
function checkTold(around: Surroundings, hash: Sha256Hex, payload: SignaturePayload, place: string): void {
  const { input, trail, findings } = around;
  // What came in from elsewhere is told when it came.
  if (payload.notebook !== input.notebook) return;
  const seq = trail.evidence.get(evidenceKey('signature', hash))?.seq;
  const told = seq === undefined ? undefined : trail.times[seq];
  if (seq === undefined || told === undefined) return;
  if (Date.parse(told) - Date.parse(payload.signedAt) <= toldWithinMs) return;
  findings.doubtful('signed-before-told', place, {
    seq,
    signed: whenText(payload.signedAt, payload.offsetMinutes),
    event: whenText(told, payload.offsetMinutes),
  });
}
/** A slow disk, and a clock put right in between, ms. */
const toldWithinMs = 60_000;

function checkTogether(around: Surroundings, signatures: readonly KnownSignature[]): void {
  const { findings } = around;
  const known = new Set(signatures.map((signature) => signature.hash));
  const authors = signatures.filter((signature) => isAuthors(signature.payload));
  const signers = new Set(authors.map((signature) => signature.payload.signer.person));
  for (const { payload, place } of signatures) {
    const missing = payload.previousSignatures.filter(
      (hash) => !known.has(hash) && !around.damaged.has(hash),
    );
    if (missing.length > 0) findings.broken('earlier-signature-missing', place, { count: missing.length });
    if (isAuthors(payload)) continue;
    const restsOnAuthor = payload.previousSignatures.some(
      (hash) => around.damaged.has(hash) || authors.some((author) => author.hash === hash),
    );
    if (!restsOnAuthor) {
      findings.broken('reviewed-before-signed', place);
    }
    if (signers.has(payload.signer.person) && payload.meaning !== 'deposited') {
      // The author's case is reported with the version; this is a second signer reviewing themself.
      const version: KnownVersion | undefined = around.entries.byHash.get(payload.versionHash);
      if (version?.author.person !== payload.signer.person) {
        findings.broken('own-work-reviewed', place, { person: payload.signer.printedName });
      }
    }
  }
  if (authors.length > 1) {
    findings.broken('signed-twice', authors[1]?.place ?? '', { count: authors.length });
  }
}
