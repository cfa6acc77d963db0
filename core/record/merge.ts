import type { EntryState, Meaning, Role, Sha256Hex } from './objects.ts';

/** An entry as one of two notebooks knows it. */
export interface EntryKnowledge {
  readonly entry: string;
  readonly record: string;
  /** Person whose record it is. */
  readonly owner: string;
  /** Place in the record. */
  readonly number: number;
  readonly versions: readonly { readonly n: number; readonly hash: Sha256Hex }[];
  readonly signatures: readonly {
    readonly hash: Sha256Hex;
    readonly n: number;
    readonly meaning: Meaning;
  }[];
}

/** What the receiving notebook knows of an entry; null when it never saw it. */
export interface LocalEntry extends EntryKnowledge {
  readonly state: EntryState;
}

export interface Receiver {
  /** Trusted keys of the department here. */
  readonly departmentKeys: ReadonlySet<string>;
  readonly people: ReadonlyMap<string, { readonly role: Role }>;
  readonly entries: ReadonlyMap<string, LocalEntry>;
  /** Owner of each record here. */
  readonly records: ReadonlyMap<string, { readonly owner: string }>;
  /** Numbers already taken, by record. */
  readonly numbers: ReadonlyMap<string, ReadonlySet<number>>;
  /** How far the sender's notebook was last seen to have got. */
  readonly seen: { readonly seq: number; readonly head: Sha256Hex } | null;
}

export interface Arrival {
  readonly departmentKey: string;
  /** The notebook it comes from, and how far its trail had got. */
  readonly eventSeq: number;
  readonly eventHead: Sha256Hex;
  readonly sender: string;
  /**
   * True when the sender's later trail, as far as it is known here, speaks of having written this very
   * file: then it was only left lying, however old it is.
   */
  readonly isReceiptKnown?: boolean;
  readonly entries: readonly EntryKnowledge[];
}

/** What is to be done about one entry. Nothing here ever takes anything away. */
export type EntryPlan =
  | {
      readonly kind: 'new' | 'forward';
      readonly entry: string;
      readonly addVersions: readonly Sha256Hex[];
      readonly addSignatures: readonly Sha256Hex[];
      /** State once they are added. */
      readonly state: EntryState;
      /** Number it gets here; its own unless that was taken. */
      readonly number: number;
      readonly note: MergeNote | null;
    }
  | { readonly kind: 'nothing'; readonly entry: string; readonly note: MergeNote }
  /** Stays outside, with the file kept; a person decides. */
  | { readonly kind: 'conflict'; readonly entry: string; readonly note: MergeNote };

export type MergeNote =
  | 'handed-in-already'
  | 'older-than-here'
  | 'renumbered'
  | 'another-record'
  | 'another-owner'
  | 'two-versions-of-one-number'
  | 'versions-missing-between'
  | 'locked-here'
  | 'struck-out-here'
  | 'reply-to-older-version'
  | 'not-the-owner';

export type Refusal =
  'another-department' | 'unknown-person' | 'sender-rolled-back' | 'sender-forked' | 'nothing-inside';

export type MergePlan =
  | { readonly ok: true; readonly entries: readonly EntryPlan[] }
  | { readonly ok: false; readonly refusal: Refusal };

/** The state that follows from the signatures on an entry's newest version. */
export function stateOf(meanings: ReadonlySet<Meaning>, hasVersions: boolean): EntryState {
  if (!hasVersions) return 'draft';
  if (meanings.has('countersigned')) return 'countersigned';
  return meanings.has('returned') ? 'returned' : 'signed';
}

const isAuthors = (meaning: Meaning): boolean => meaning === 'performed' || meaning === 'amended';

/**
 * Decides what becomes of entries that were handed in or sent back. The file has been checked before;
 * this is about two honest notebooks that went on separately.
 */
export function planMerge(receiver: Receiver, arrival: Arrival): MergePlan {
  const refuse = (refusal: Refusal): MergePlan => ({ ok: false, refusal });
  if (!receiver.departmentKeys.has(arrival.departmentKey)) return refuse('another-department');
  if (!receiver.people.has(arrival.sender)) return refuse('unknown-person');
  if (arrival.entries.length === 0) return refuse('nothing-inside');
  const { seen } = receiver;
  // An older file of the same notebook is harmless; the same place with another head is a second history.
  if (seen !== null && seen.seq === arrival.eventSeq && seen.head !== arrival.eventHead) {
    return refuse('sender-forked');
  }
  const isOlder = seen !== null && arrival.eventSeq < seen.seq;
  const taken = new Map([...receiver.numbers].map(([record, numbers]) => [record, new Set(numbers)]));
  const entries = arrival.entries.map((entry) => planEntry(receiver, arrival, entry, taken));
  // Behind what was seen, and yet with something never seen: an older copy was put back and went on.
  const isNews = entries.some((plan) => plan.kind === 'new' || plan.kind === 'forward');
  if (isOlder && isNews && arrival.isReceiptKnown !== true) return refuse('sender-rolled-back');
  return { ok: true, entries };
}

function planEntry(
  receiver: Receiver,
  arrival: Arrival,
  incoming: EntryKnowledge,
  taken: Map<string, Set<number>>,
): EntryPlan {
  const conflict = (note: MergeNote): EntryPlan => ({ kind: 'conflict', entry: incoming.entry, note });
  const local = receiver.entries.get(incoming.entry);
  const record = receiver.records.get(incoming.record);
  if (record !== undefined && record.owner !== incoming.owner) return conflict('another-owner');
  if (local === undefined) {
    // Only the owner brings in a new entry; a reviewer sends back what was handed in.
    return incoming.owner === arrival.sender ? planNew(incoming, taken) : conflict('not-the-owner');
  }
  // What goes along beside the signatures, comments and what is settled, is the word of the sender alone: a
  // student has none on somebody else's entry, though they may have come by its signed versions.
  const isOwners = incoming.owner === arrival.sender;
  if (!isOwners && receiver.people.get(arrival.sender)?.role === 'student') return conflict('not-the-owner');
  if (local.record !== incoming.record) return conflict('another-record');
  if (local.state === 'struck-out') return conflict('struck-out-here');
  return planKnown(local, incoming);
}

function planNew(incoming: EntryKnowledge, taken: Map<string, Set<number>>): EntryPlan {
  const numbers = taken.get(incoming.record) ?? new Set<number>();
  taken.set(incoming.record, numbers);
  let { number } = incoming;
  while (numbers.has(number)) number += 1;
  numbers.add(number);
  const last = incoming.versions.at(-1)?.n ?? 0;
  return {
    kind: 'new',
    entry: incoming.entry,
    addVersions: incoming.versions.map((version) => version.hash),
    addSignatures: incoming.signatures.map((signature) => signature.hash),
    state: stateOf(meaningsOn(incoming, last), incoming.versions.length > 0),
    number,
    note: number === incoming.number ? null : 'renumbered',
  };
}

const meaningsOn = (knowledge: EntryKnowledge, n: number): ReadonlySet<Meaning> =>
  new Set(
    knowledge.signatures.filter((signature) => signature.n === n).map((signature) => signature.meaning),
  );

function planKnown(local: LocalEntry, incoming: EntryKnowledge): EntryPlan {
  const entry = incoming.entry;
  const conflict = (note: MergeNote): EntryPlan => ({ kind: 'conflict', entry, note });
  const here = new Map(local.versions.map((version) => [version.n, version.hash]));
  if (incoming.versions.some(({ n, hash }) => here.has(n) && here.get(n) !== hash)) {
    return conflict('two-versions-of-one-number');
  }
  const newVersions = incoming.versions.filter(({ n }) => !here.has(n));
  const known = new Set(local.signatures.map((signature) => signature.hash));
  const newSignatures = incoming.signatures.filter(({ hash }) => !known.has(hash));
  if (newVersions.length === 0 && newSignatures.length === 0) {
    const isBehind = incoming.versions.length < local.versions.length;
    return { kind: 'nothing', entry, note: isBehind ? 'older-than-here' : 'handed-in-already' };
  }
  const lastHere = local.versions.at(-1)?.n ?? 0;
  if (newVersions.length > 0 && newVersions[0]?.n !== lastHere + 1)
    return conflict('versions-missing-between');
  // A review of a version that has been replaced here meanwhile: to be read, but it decides nothing.
  const isLate = newSignatures.some(({ n, meaning }) => n < lastHere && !isAuthors(meaning));
  if (isLate) return conflict('reply-to-older-version');
  if (newVersions.length > 0 && local.state === 'countersigned') {
    const first = meaningsOn(incoming, lastHere + 1);
    // Signed on another machine without knowing that the version before had been accepted.
    if (!first.has('amended')) return conflict('locked-here');
  }
  if (newVersions.length === 0 && isDecided(local, newSignatures)) return conflict('locked-here');
  const last = Math.max(lastHere, ...newVersions.map(({ n }) => n));
  const together = { ...incoming, signatures: [...local.signatures, ...newSignatures] };
  return {
    kind: 'forward',
    entry,
    addVersions: newVersions.map(({ hash }) => hash),
    addSignatures: newSignatures.map(({ hash }) => hash),
    state: stateOf(meaningsOn(together, last), true),
    number: local.number,
    note: null,
  };
}

/** Two reviewers, or one on two machines, came to different decisions on the same version. */
const isDecided = (local: LocalEntry, added: EntryKnowledge['signatures']): boolean =>
  (local.state === 'countersigned' || local.state === 'amending' || local.state === 'returned') &&
  added.some(({ meaning }) => meaning === 'returned' || meaning === 'countersigned');
