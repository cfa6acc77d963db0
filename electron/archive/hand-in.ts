import type { CheckFinding, CheckReport } from '../../core/contract/views.ts';
import {
  bundleFileName,
  bundleText,
  inputFromBundle,
  readBundle,
  type Bundle,
} from '../../core/record/bundle.ts';
import { canonical, readCanonical } from '../../core/record/canonical.ts';
import { sealCheckpoint, type Sign } from '../../core/record/build.ts';
import type { Checkpoint, Sealed, Sha256Hex } from '../../core/record/objects.ts';
import { readObject } from '../../core/record/read-object.ts';
import { hash, matching, object, oneOf, text } from '../../core/record/shape.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { recordSentences } from '../../core/wording/record.ts';
import { runCheck, type CheckOptions } from '../check/run-check.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';
import { handInReadme } from './readme.ts';
import { openPackage, PackageProblem, zipLimits, type Package, type ZipLimits } from './zip-read.ts';
import { zipBytes } from './zip-write.ts';

/** The statement that goes with a hand-in, signed by whoever sends it. */
export const statementName = 'hand-in.json';
const readmeName = 'README.txt';
const attachmentName = /^attachments\/([0-9a-f]{64})$/;

const isAllowed = (name: string): boolean =>
  name === statementName || name === bundleFileName || name === readmeName || attachmentName.test(name);

export interface Attachment {
  readonly sha256: Sha256Hex;
  readonly data: Uint8Array;
}

/** What the sender states: who, and how far their notebook's trail had got. */
export type Sending = Omit<Checkpoint, 'type' | 'format' | 'purpose' | 'entries' | 'manifestHash'>;

/** The newest version of each entry in a bundle. */
export function newestVersions(bundle: Bundle): Checkpoint['entries'] {
  const newest = new Map<string, Checkpoint['entries'][number]>();
  for (const sealed of bundle.versions) {
    const version = readObject('version', sealed.bytes);
    if (!version.ok) continue;
    const { entry, n } = version.value;
    if (n > (newest.get(entry)?.n ?? 0)) newest.set(entry, { entry, n, versionHash: sealed.hash });
  }
  return [...newest.values()];
}

/**
 * One file to hand in, or to send back: the signed entries, what is attached to them, and a signed
 * statement of where the sender's audit trail stood, which the other side keeps as a receipt.
 *
 * @param sign the sender's own key, unlocked for this
 */
export async function writeHandIn(
  bundle: Bundle,
  attachments: Iterable<Attachment>,
  sending: Sending,
  sign: Sign,
): Promise<{ readonly bytes: Uint8Array; readonly checkpoint: Sealed }> {
  const encoder = new TextEncoder();
  const carried = encoder.encode(bundleText(bundle));
  const checkpoint = sealCheckpoint(
    recordCrypto,
    { ...sending, purpose: 'hand-in', entries: newestVersions(bundle), manifestHash: sha256(carried) },
    sign,
  );
  const statement = canonical({ type: 'hand-in', format: 1, checkpoint });
  const bytes = await zipBytes([
    { path: statementName, data: encoder.encode(statement) },
    { path: bundleFileName, data: carried },
    { path: readmeName, data: encoder.encode(handInReadme) },
    ...[...attachments].map(({ sha256: name, data }) => ({ path: `attachments/${name}`, data })),
  ]);
  return { bytes, checkpoint };
}

export interface HandIn {
  readonly bundle: Bundle;
  readonly checkpoint: Sealed;
  readonly statement: Checkpoint;
  /** Does the statement speak of exactly this bundle? */
  readonly isManifestRight: boolean;
  readonly attachments: readonly Attachment[];
}

const statementShape = object({
  type: oneOf('hand-in'),
  format: oneOf(1),
  checkpoint: object({ bytes: text(1_000_000), hash, signature: matching(/^[0-9a-f]{128}$/) }),
});

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new PackageProblem('not-utf8');
  }
}

/** Unwraps a result; its problem becomes that of the whole package. */
function taken<T>(result: Result<T, Problem>): T {
  if (result.ok) return result.value;
  const { code, facts } = result.error;
  throw new PackageProblem(code, facts);
}

async function readContents(opened: Package): Promise<HandIn> {
  const read = taken(readCanonical(decode(await opened.read(statementName)), { maxLength: 2_000_000 }));
  if ((read as { format?: unknown } | null)?.format === 2) throw new PackageProblem('format-newer');
  if (statementShape(read, '') !== null) throw new PackageProblem('wrong-shape', { kind: 'hand-in' });
  const { checkpoint } = read as { readonly checkpoint: Sealed };
  const statement = taken(readObject('checkpoint', checkpoint.bytes));
  const carried = await opened.read(bundleFileName);
  const bundle = taken(readBundle(decode(carried)));
  const attachments: Attachment[] = [];
  for (const name of opened.names) {
    const match = attachmentName.exec(name);
    if (match?.[1] !== undefined) attachments.push({ sha256: match[1], data: await opened.read(name) });
  }
  return {
    bundle,
    checkpoint,
    statement,
    isManifestRight: sha256(carried) === statement.manifestHash,
    attachments,
  };
}

/**
 * Reads a hand-in from outside. Nothing in it is believed yet: `checkHandIn` does that.
 *
 * @error those of `openPackage`; package-incomplete, not-utf8, wrong-shape, format-newer and those of
 *   `readBundle`
 */
export async function readHandIn(
  source: string | Uint8Array,
  limits: ZipLimits = zipLimits,
): Promise<Result<HandIn, Problem>> {
  const opened = await openPackage(source, isAllowed, limits);
  if (!opened.ok) return opened;
  try {
    return ok(await readContents(opened.value));
  } catch (error) {
    if (error instanceof PackageProblem) return fail(error.problem);
    throw error;
  } finally {
    opened.value.close();
  }
}

/** Checks a hand-in that was read: the entries, and that the sender's statement speaks of them. */
export async function checkHandIn(handIn: HandIn, options: CheckOptions = {}): Promise<CheckReport> {
  const { bundle, checkpoint, statement } = handIn;
  const carrying = { ...bundle, checkpoints: [...bundle.checkpoints, checkpoint] };
  const report = await runCheck(
    inputFromBundle(carrying, options.pinnedKey ?? null, handIn.attachments),
    options,
  );
  const findings: CheckFinding[] = [];
  const broken = (code: string, place: string): void => {
    findings.push({ severity: 'broken', code, place, sentence: recordSentences[code]?.({}) ?? code });
  };
  if (!handIn.isManifestRight) broken('hand-in-changed', 'the hand-in as a whole');
  const inside = canonical(newestVersions(bundle));
  const isOfThis = statement.notebook === bundle.notebook && canonical(statement.entries) === inside;
  if (statement.purpose !== 'hand-in' || !isOfThis) broken('hand-in-of-others', 'the sender’s statement');
  return {
    ...report,
    isSound: report.isSound && findings.length === 0,
    findings: [...findings, ...report.findings],
    trustworthy: findings.length === 0 ? report.trustworthy : (recordSentences['hand-in-again']?.({}) ?? ''),
  };
}
