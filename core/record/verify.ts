import type { CheckReport } from '../contract/views.ts';
import type { CheckInput } from './check-input.ts';
import { domainBytes, type RecordCrypto } from './domain.ts';
import { keyFingerprint } from './fingerprint.ts';
import { readSealed } from './read-object.ts';
import { checkAttachments } from './verify/attachments.ts';
import { checkVersions } from './verify/entries.ts';
import { faultFacts } from './verify/fault.ts';
import { Findings } from './verify/findings.ts';
import { checkOwnCompounds } from './verify/own-compounds.ts';
import { checkPeople } from './verify/people.ts';
import { checkMissing, checkRows } from './verify/rows.ts';
import { checkSignatures, type KnownSignature, type Surroundings } from './verify/signatures.ts';
import { checkForeignTrails, checkTrail, evidenceKey } from './verify/trail.ts';
import { trustworthy } from './verify/trustworthy.ts';
import { checkWitnesses } from './verify/witnesses.ts';

/** How far a check has come. `done` counts within the stage. */
export interface CheckProgress {
  readonly stage: 'trail' | 'versions' | 'signatures' | 'rows' | 'attachments';
  readonly done: number;
}

function* staged<T>(stage: CheckProgress['stage'], steps: Generator<number, T>): Generator<CheckProgress, T> {
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
    yield { stage, done: step.value };
  }
}

/**
 * Checks a notebook, or part of one, step by step, so that a long check can show how far it is and be
 * broken off. The order is that in which trust is built: the department's key, the people it
 * certified, the trail, the versions, the signatures, and then the plain rows the trail vouches for.
 */
export function* verifySteps(input: CheckInput, crypto: RecordCrypto): Generator<CheckProgress, CheckReport> {
  const findings = new Findings();
  const damaged = new Set<string>();
  const people = checkPeople(input, crypto, findings, damaged);
  const trail = yield* staged('trail', checkTrail(input, crypto, findings));
  const foreign = checkForeignTrails(input, crypto, findings);
  const entries = yield* staged('versions', checkVersions(input, crypto, findings, damaged));
  const around: Surroundings = { input, crypto, findings, people, trail, foreign, entries, damaged };
  const signatures = yield* staged('signatures', checkSignatures(around));
  const rows = yield* staged('rows', checkRows(around, signatures));
  const attachments = yield* staged('attachments', checkAttachments(around, rows.seen));
  const checkpoints = checkCheckpoints(around);
  checkWitnesses(around, checkpoints.witnesses);
  const ownCompounds = checkOwnCompounds(around);
  if (input.scope === 'notebook') {
    const present = new Set([...rows.seen, ...ownCompounds.seen]);
    checkKnown(around, signatures, checkpoints.hashes, present);
    checkMissing(around, present);
  } else {
    findings.note('excerpt', 'the audit trail', { count: trail.count });
  }
  if (!people.isPinned) findings.note('key-not-pinned', 'the department’s key');
  return {
    isSound: findings.brokenCount === 0,
    checked: [
      { what: 'events of the audit trail', count: trail.count },
      { what: 'certified keys', count: people.certificates.size },
      { what: 'signed versions', count: entries.count },
      { what: 'signatures', count: signatures.length },
      { what: 'rows the trail vouches for', count: rows.count },
      { what: 'attachments', count: attachments },
      ...(ownCompounds.count === 0
        ? []
        : [{ what: 'compounds of the department’s own, each saved form', count: ownCompounds.count }]),
    ],
    findings: findings.all(),
    trustworthy: trustworthy(around, signatures),
    head: trail.head,
    headSeq: trail.last,
    departmentFingerprint: keyFingerprint(crypto, people.startKey),
  };
}

/** As `verifySteps`, in one go. */
export function verifyNotebook(input: CheckInput, crypto: RecordCrypto): CheckReport {
  const steps = verifySteps(input, crypto);
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

/** Every sealed object must have been written by a command, which left an event. */
function checkKnown(
  around: Surroundings,
  signatures: readonly KnownSignature[],
  checkpointHashes: readonly string[],
  present: Set<string>,
): void {
  const { entries, findings, people, trail } = around;
  const know = (
    kind: 'version' | 'signature' | 'certificate' | 'revocation' | 'checkpoint',
    hash: string,
    place: string,
  ): void => {
    const key = evidenceKey(kind, hash);
    present.add(key);
    if (!trail.evidence.has(key)) findings.broken('object-unknown', place);
  };
  for (const version of entries.byHash.values()) know('version', version.hash, version.place);
  for (const signature of signatures) know('signature', signature.hash, signature.place);
  for (const [hash, { certificate }] of people.certificates) {
    know('certificate', hash, `certificate ${certificate.serial}, of ${certificate.printedName}`);
  }
  for (const sealed of around.input.revocations) know('revocation', sealed.hash, 'a withdrawn key');
  for (const hash of checkpointHashes) know('checkpoint', hash, 'a checkpoint');
}

/** Checkpoints kept in the file are outside witnesses as far as their signatures hold. */
function checkCheckpoints(around: Surroundings): {
  readonly hashes: readonly string[];
  readonly witnesses: readonly {
    notebook: string;
    seq: number;
    head: string;
    source: string;
    seenAt: string;
  }[];
} {
  const { input, crypto, findings, people } = around;
  const hashes: string[] = [];
  const witnesses = [];
  for (const sealed of input.checkpoints) {
    hashes.push(sealed.hash);
    const read = readSealed(crypto, 'checkpoint', sealed);
    if (!read.ok) {
      findings.broken('checkpoint-changed', 'a checkpoint', faultFacts(read.error));
      continue;
    }
    const checkpoint = read.value;
    const known = people.certificates.get(checkpoint.certificateHash);
    const isSigned =
      known?.isTrusted === true &&
      sealed.signature !== null &&
      known.certificate.person === checkpoint.signer.person &&
      crypto.verifyEd25519(
        known.certificate.publicKey,
        domainBytes('checkpoint', sealed.bytes),
        sealed.signature,
      );
    if (!isSigned) {
      findings.broken('checkpoint-forged', `a checkpoint of ${checkpoint.at.slice(0, 10)}`);
      continue;
    }
    witnesses.push({
      notebook: checkpoint.notebook,
      seq: checkpoint.eventSeq,
      head: checkpoint.eventHead,
      source: `${checkpoint.purpose} of ${checkpoint.at.slice(0, 10)}, signed by ${checkpoint.signer.printedName}`,
      seenAt: checkpoint.at,
    });
  }
  return { hashes, witnesses };
}
