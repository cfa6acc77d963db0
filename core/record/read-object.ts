import { fail, ok, type Problem, type Result } from '../result.ts';
import { readCanonical } from './canonical.ts';
import { domainHash, type RecordCrypto, type SealedKind } from './domain.ts';
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
import {
  flag,
  hash,
  instant,
  listOf,
  matching,
  number,
  object,
  oneOf,
  orNull,
  text,
  whole,
  type Shape,
} from './shape.ts';

export interface ObjectOf {
  readonly version: EntryVersion;
  readonly signature: SignaturePayload;
  readonly event: AuditEvent;
  readonly certificate: Certificate;
  readonly revocation: Revocation;
  readonly checkpoint: Checkpoint;
  readonly own_compound: OwnCompoundVersion;
  readonly seal: SealStatement;
}

const id = text(200);
const name = text(400);
const role = oneOf('student', 'instructor', 'department');
const person = object({ person: id, printedName: name, role });
const offset = whole(-14 * 60, 14 * 60);
const count = whole(1, Number.MAX_SAFE_INTEGER);
const publicKey = matching(/^[0-9a-f]{64}$/);
/** The content has a schema of its own in the contract; here it need only be the right kind of thing. */
const contentOf =
  (format: string): Shape =>
  (value, path) =>
    typeof value === 'object' && value !== null && (value as { format?: unknown }).format === format
      ? null
      : `${path}.format`;

const shapes: Readonly<Record<SealedKind, Shape>> = {
  version: object({
    type: oneOf('version'),
    format: oneOf(1),
    record: id,
    entry: id,
    n: count,
    previousVersion: orNull(hash),
    content: contentOf('fairleaf-entry/1'),
    computed: object({
      engine: name,
      lines: listOf(object({ id, title: text(), value: text(), unit: text(), lines: listOf(text(100_000)) })),
    }),
    author: object({ person: id, printedName: name }),
    heading: object({ recordTitle: text(), course: text(), number: whole(0, 1_000_000) }),
    reason: text(100_000),
    program: name,
  }),
  signature: object({
    type: oneOf('signature'),
    format: oneOf(1),
    notebook: id,
    record: id,
    entry: id,
    n: count,
    versionHash: hash,
    eventHead: hash,
    eventSeq: whole(0, Number.MAX_SAFE_INTEGER),
    meaning: oneOf('performed', 'returned', 'countersigned', 'amended', 'deposited'),
    signer: person,
    certificateHash: hash,
    signedAt: instant,
    offsetMinutes: offset,
    previousSignatures: listOf(hash, 1000),
    remark: text(100_000),
  }),
  event: object({
    type: oneOf('event'),
    format: oneOf(1),
    notebook: id,
    seq: count,
    previous: hash,
    at: instant,
    offsetMinutes: offset,
    isClockBack: flag,
    monotonicMs: number,
    device: name,
    actor: orNull(person),
    action: name,
    object: object({ record: orNull(id), entry: orNull(id), n: orNull(count) }),
    changes: listOf(object({ path: text(), old: text(1_000_000), new: text(1_000_000) })),
    evidence: listOf(object({ kind: name, id, hash })),
    reason: text(100_000),
  }),
  certificate: object({
    type: oneOf('certificate'),
    format: oneOf(1),
    serial: whole(0, Number.MAX_SAFE_INTEGER),
    person: id,
    printedName: name,
    role,
    publicKey,
    notBefore: instant,
    notAfter: instant,
    issuer: publicKey,
  }),
  revocation: object({
    type: oneOf('revocation'),
    format: oneOf(1),
    certificateHash: hash,
    person: id,
    kind: oneOf('retired', 'compromised'),
    since: instant,
    at: instant,
    reason: text(100_000),
    issuer: publicKey,
  }),
  checkpoint: object({
    type: oneOf('checkpoint'),
    format: oneOf(1),
    purpose: oneOf('hand-in', 'receipt', 'deposit'),
    notebook: id,
    record: orNull(id),
    eventSeq: whole(0, Number.MAX_SAFE_INTEGER),
    eventHead: hash,
    entries: listOf(object({ entry: id, n: count, versionHash: hash })),
    manifestHash: orNull(hash),
    at: instant,
    offsetMinutes: offset,
    signer: person,
    certificateHash: hash,
  }),
  own_compound: object({
    type: oneOf('own-compound'),
    format: oneOf(1),
    compound: id,
    n: count,
    previousVersion: orNull(hash),
    author: object({ person: id, printedName: name }),
    at: instant,
    offsetMinutes: offset,
    isWithdrawn: flag,
    content: contentOf('fairleaf-compound/1'),
    reason: text(100_000),
  }),
  seal: object({
    type: oneOf('seal'),
    format: oneOf(1),
    notebook: id,
    institution: name,
    department: name,
    serial: whole(1, Number.MAX_SAFE_INTEGER),
    certificate: hash,
    anchor: hash,
    notBefore: instant,
    notAfter: instant,
    issuer: publicKey,
  }),
};

/**
 * Reads the exact bytes of an object of the record.
 *
 * @error those of `readCanonical`; wrong-shape with the path at fault; format-newer for an object of
 *   a later program
 */
export function readObject<K extends SealedKind>(kind: K, bytes: string): Result<ObjectOf[K], Problem> {
  const read = readCanonical(bytes);
  if (!read.ok) return read;
  const format = (read.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format > 1) {
    return fail({ code: 'format-newer', where: 'format', facts: { format } });
  }
  const wrong = shapes[kind](read.value, '');
  if (wrong !== null) return fail({ code: 'wrong-shape', where: wrong, facts: { kind } });
  return ok(read.value as ObjectOf[K]);
}

/**
 * Reads a stored object and holds its bytes against the hash stored beside them.
 *
 * @error wrong-hash, and those of `readObject`
 */
export function readSealed<K extends SealedKind>(
  crypto: Pick<RecordCrypto, 'sha256'>,
  kind: K,
  sealed: Pick<Sealed, 'bytes' | 'hash'>,
): Result<ObjectOf[K], Problem> {
  if (domainHash(crypto, kind, sealed.bytes) !== sealed.hash) {
    return fail({ code: 'wrong-hash', where: kind, facts: { kind } });
  }
  return readObject(kind, sealed.bytes);
}
