import type { CheckInput } from '../check-input.ts';
import type { RecordCrypto } from '../domain.ts';
import type { EntryVersion, Sha256Hex } from '../objects.ts';
import { readSealed } from '../read-object.ts';
import { checkColumns } from './columns.ts';
import { faultFacts, markDamaged } from './fault.ts';
import type { Findings } from './findings.ts';

/** A version without its content: what the later checks need, and little memory for many entries. */
export interface KnownVersion {
  readonly hash: Sha256Hex;
  readonly record: string;
  readonly entry: string;
  readonly n: number;
  readonly previousVersion: Sha256Hex | null;
  readonly author: EntryVersion['author'];
  readonly attachments: readonly Sha256Hex[];
  /** `entry 2 of “Organic preparations”, version 1`. */
  readonly place: string;
}

export interface Entries {
  readonly byHash: ReadonlyMap<Sha256Hex, KnownVersion>;
  /** Versions of each entry, by n. */
  readonly byEntry: ReadonlyMap<string, readonly KnownVersion[]>;
  /** Words for an entry: `entry 2 of “Organic preparations”`. */
  readonly placeOf: (entryId: string) => string;
  /** Entries with a version that is changed, missing or out of place. */
  readonly faulty: ReadonlySet<string>;
  readonly count: number;
}

const entryWords = (heading: EntryVersion['heading']): string =>
  `entry ${heading.number} of “${heading.recordTitle}”`;

/** Reads every version, and checks that each entry's versions follow one another. */
export function* checkVersions(
  input: CheckInput,
  crypto: RecordCrypto,
  findings: Findings,
  damaged: Set<string>,
): Generator<number, Entries> {
  const byHash = new Map<Sha256Hex, KnownVersion>();
  const byEntry = new Map<string, KnownVersion[]>();
  const words = new Map<string, string>();
  const faulty = new Set<string>();
  let count = 0;
  for (const sealed of input.versions) {
    count += 1;
    const read = readSealed(crypto, 'version', sealed);
    if (!read.ok) {
      findings.broken('version-changed', placeOfBroken(sealed.bytes, count), faultFacts(read.error));
      markDamaged(crypto, damaged, 'version', sealed);
      const entry = entryOfBroken(sealed.bytes);
      if (entry !== null) faulty.add(entry);
      continue;
    }
    const version = read.value;
    const known: KnownVersion = {
      hash: sealed.hash,
      record: version.record,
      entry: version.entry,
      n: version.n,
      previousVersion: version.previousVersion,
      author: version.author,
      attachments: attachmentsOf(version),
      place: `${entryWords(version.heading)}, version ${version.n}`,
    };
    checkColumns('version', sealed, version, () => known.place, findings);
    words.set(version.entry, entryWords(version.heading));
    byHash.set(known.hash, known);
    const siblings = byEntry.get(known.entry);
    if (siblings === undefined) byEntry.set(known.entry, [known]);
    else siblings.push(known);
    if (count % 20 === 0) yield count;
  }
  for (const [entry, versions] of byEntry) {
    if (!checkSuccession(versions, findings, damaged)) faulty.add(entry);
  }
  return { byHash, byEntry, placeOf: (id) => words.get(id) ?? 'an entry', faulty, count };
}

function attachmentsOf(version: EntryVersion): readonly Sha256Hex[] {
  // The content's own schema is in the contract; here a version of any shape must not stop the check.
  const notes: unknown = version.content.attachments;
  if (!Array.isArray(notes)) return [];
  return notes
    .map((note: unknown) => (note as { sha256?: unknown } | null)?.sha256)
    .filter((sha256): sha256 is string => typeof sha256 === 'string');
}

function checkSuccession(
  versions: KnownVersion[],
  findings: Findings,
  damaged: ReadonlySet<string>,
): boolean {
  versions.sort((a, b) => a.n - b.n);
  let before: KnownVersion | null = null;
  let isGood = true;
  for (const version of versions) {
    const brokenBefore = findings.brokenCount;
    const expected: number = (before?.n ?? 0) + 1;
    if (version.n < expected) {
      findings.broken('version-twice', version.place, { n: version.n });
    } else if (version.n > expected) {
      // One that is there but damaged has been reported.
      if (version.previousVersion !== null && damaged.has(version.previousVersion)) {
        before = version;
        isGood = false;
        continue;
      }
      findings.broken('version-missing', version.place, { n: expected });
    } else if (version.previousVersion !== (before?.hash ?? null)) {
      findings.broken('version-order', version.place);
    } else if (before !== null && before.record !== version.record) {
      findings.broken('version-of-another-record', version.place);
    }
    if (findings.brokenCount > brokenBefore) isGood = false;
    before = version;
  }
  return isGood;
}

/** The entry a damaged version belongs to, as far as it still tells. */
function entryOfBroken(bytes: string): string | null {
  try {
    const entry = (JSON.parse(bytes) as Partial<EntryVersion> | null)?.entry;
    return typeof entry === 'string' ? entry : null;
  } catch {
    return null;
  }
}

/** A damaged version still tells, as a rule, which one it is; that is for the words only. */
function placeOfBroken(bytes: string, count: number): string {
  try {
    const version = JSON.parse(bytes) as Partial<EntryVersion> | null;
    const heading = version?.heading;
    if (typeof heading?.number === 'number' && typeof heading.recordTitle === 'string') {
      return `${entryWords(heading)}, version ${String(version?.n)}`;
    }
  } catch {
    // Not even JSON any more: the place in the file has to do.
  }
  return `version number ${count} in the file`;
}
