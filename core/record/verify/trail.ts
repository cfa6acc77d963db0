import type { CheckInput, StoredSealed, WalkedStretch } from '../check-input.ts';
import { checkColumns } from './columns.ts';
import { domainHash, zeroHash, type RecordCrypto } from '../domain.ts';
import type { Evidence, Sha256Hex } from '../objects.ts';
import { readTrailEvent, TrailMemory, type TrailEvent } from '../read-event.ts';
import { whenText } from '../when.ts';
import { faultFacts } from './fault.ts';
import { Findings } from './findings.ts';

/** A clock that computers put right by themselves moves by less than this, ms. */
const clockToleranceMs = 5000;

/** What later checks need of the trail. */
export interface Trail {
  /** Hash of event `seq` at index `seq`; index 0 is what stands before the first. Empty: not at hand. */
  readonly heads: readonly (Sha256Hex | undefined)[];
  /** `at` of event `seq`. */
  readonly times: readonly (string | undefined)[];
  readonly last: number;
  readonly head: Sha256Hex;
  /** The first event that fails, or null. */
  readonly firstBroken: number | null;
  /** The last word of the trail on each row and object, by `kind/id`. */
  readonly evidence: ReadonlyMap<string, Attested>;
  readonly count: number;
}
export interface Attested {
  readonly hash: Sha256Hex;
  readonly seq: number;
}

export const evidenceKey = (kind: Evidence['kind'], id: string): string => `${kind}/${id}`;

export const eventPlace = (event: TrailEvent): string =>
  `event ${event.seq} of the audit trail, ${whenText(event.at, event.offsetMinutes)}`;

interface Walk {
  /** Event whose hash and time stand at index 0. */
  readonly base: number;
  readonly memory: TrailMemory;
  heads: (Sha256Hex | undefined)[];
  times: (string | undefined)[];
  evidence: Map<string, Attested>;
  firstBroken: number | null;
  /** Hashes that the next event may name as the one before: as stored, and as computed. */
  before: { seq: number; stored: Sha256Hex; actual: Sha256Hex; at: string | null; wasReadable: boolean };
}

function brokenAt(walk: Walk, seq: number): void {
  if (walk.firstBroken === null || seq < walk.firstBroken) walk.firstBroken = seq;
}

function checkOrder(walk: Walk, event: TrailEvent, isExcerpt: boolean, findings: Findings): void {
  const { before } = walk;
  if (event.seq !== before.seq + 1) {
    if (isExcerpt && event.seq > before.seq) return;
    findings.broken(event.seq <= before.seq ? 'event-out-of-order' : 'events-missing', eventPlace(event), {
      expected: before.seq + 1,
      found: event.seq,
      count: event.seq - before.seq - 1,
    });
    brokenAt(walk, Math.min(event.seq, before.seq + 1));
    return;
  }
  if (event.previous !== before.actual && event.previous !== before.stored) {
    findings.broken('event-link', eventPlace(event), { before: before.seq });
    brokenAt(walk, event.seq);
  }
  if (before.at === null || !before.wasReadable) return;
  if (event.isClockBack !== event.at < before.at) {
    findings.broken('event-time', eventPlace(event));
    brokenAt(walk, event.seq);
  } else if (event.isClockBack && Date.parse(before.at) - Date.parse(event.at) > clockToleranceMs) {
    findings.doubtful('clock-back', eventPlace(event), {
      minutes: Math.max(1, Math.round((Date.parse(before.at) - Date.parse(event.at)) / 60_000)),
    });
  }
}

function take(
  walk: Walk,
  sealed: StoredSealed,
  input: Pick<CheckInput, 'notebook' | 'scope'>,
  crypto: RecordCrypto,
  findings: Findings,
): void {
  const isExcerpt = input.scope === 'excerpt';
  const actual = domainHash(crypto, 'event', sealed.bytes);
  const read = readTrailEvent(sealed.bytes, walk.memory);
  const next = walk.before.seq + 1;
  if (!read.ok) {
    findings.broken('event-changed', `event ${next} of the audit trail`, faultFacts(read.error));
    brokenAt(walk, next);
    walk.before = { seq: next, stored: sealed.hash, actual, at: null, wasReadable: false };
    return;
  }
  const event = read.value;
  if (actual !== sealed.hash) {
    findings.broken(
      'event-changed',
      eventPlace(event),
      faultFacts({ code: 'wrong-hash', where: '', facts: {} }),
    );
    brokenAt(walk, event.seq);
  }
  if (event.notebook !== input.notebook) {
    findings.broken('event-of-another-notebook', eventPlace(event));
    brokenAt(walk, event.seq);
  }
  checkColumns('event', sealed, event, () => `event ${event.seq} of the audit trail`, findings);
  checkOrder(walk, event, isExcerpt, findings);
  // Kept for the whole check: the texts the row came with, where they say the same. A time cut out of the
  // bytes would keep all the bytes of its event with it.
  const at = sealed.columns?.['at'];
  walk.heads[event.seq - walk.base] = actual === sealed.hash ? sealed.hash : actual;
  walk.times[event.seq - walk.base] = at === event.at ? at : event.at;
  for (const { kind, id, hash } of event.evidence) {
    walk.evidence.set(evidenceKey(kind, id), { hash, seq: event.seq });
  }
  walk.before = { seq: event.seq, stored: sealed.hash, actual, at: event.at, wasReadable: true };
}

const walkFrom = (base: number, before: Walk['before']): Walk => ({
  base,
  memory: new TrailMemory(),
  heads: [],
  times: [],
  evidence: new Map(),
  firstBroken: null,
  before,
});

/** Walks the chain once: order, links, bytes, times, and what it says about everything else. */
export function* checkTrail(
  input: CheckInput,
  crypto: RecordCrypto,
  findings: Findings,
): Generator<number, Trail> {
  const walk = walkFrom(0, {
    seq: 0,
    stored: zeroHash,
    actual: zeroHash,
    at: null,
    wasReadable: false,
  });
  walk.heads[0] = zeroHash;
  let count = 0;
  for (const stretch of input.stretches ?? [{ walked: null, events: input.events }]) {
    const { walked } = stretch;
    if (walked !== null) {
      takeOver(walk, walked, findings);
      count += walked.count;
      yield count;
      continue;
    }
    for (const sealed of stretch.events) {
      take(walk, sealed, input, crypto, findings);
      count += 1;
      if (count % 500 === 0) yield count;
    }
  }
  return {
    heads: walk.heads,
    times: walk.times,
    last: walk.before.seq,
    head: walk.before.actual,
    firstBroken: walk.firstBroken,
    evidence: walk.evidence,
    count,
  };
}

/**
 * Walks part of a trail by itself, as any thread may. Only a stretch with nothing to remark in it comes
 * back; every other is walked again in its place, so that what is found does not depend on who walked.
 *
 * @returns null where anything at all is the matter, and for no events
 */
export function walkStretch(
  notebook: string,
  events: Iterable<StoredSealed>,
  crypto: RecordCrypto,
): WalkedStretch | null {
  const findings = new Findings();
  let walk: Walk | null = null;
  let first: TrailEvent | null = null;
  let count = 0;
  for (const sealed of events) {
    if (walk === null) {
      const read = readTrailEvent(sealed.bytes);
      if (!read.ok) return null;
      first = read.value;
      // How it hangs on what stands before it is seen when the stretches are put together.
      const { seq, previous } = first;
      walk = walkFrom(seq, {
        seq: seq - 1,
        stored: previous,
        actual: previous,
        at: null,
        wasReadable: false,
      });
    }
    take(walk, sealed, { notebook, scope: 'notebook' }, crypto, findings);
    count += 1;
    if (findings.list.length > 0) return null;
  }
  if (walk === null || first === null) return null;
  return {
    first,
    last: { seq: walk.before.seq, hash: walk.before.actual, at: walk.before.at ?? '' },
    count,
    heads: walk.heads.join(''),
    times: walk.times.join(''),
    evidence: [...walk.evidence].map(([key, { hash, seq }]) => [key, hash, seq] as const),
  };
}

const hashLength = 64;
const instantLength = 24;

function takeOver(walk: Walk, stretch: WalkedStretch, findings: Findings): void {
  const { first, last, heads, times } = stretch;
  checkOrder(walk, first, false, findings);
  for (let index = 0; index < stretch.count; index += 1) {
    walk.heads[first.seq + index] = heads.slice(index * hashLength, (index + 1) * hashLength);
    walk.times[first.seq + index] = times.slice(index * instantLength, (index + 1) * instantLength);
  }
  for (const [key, hash, seq] of stretch.evidence) walk.evidence.set(key, { hash, seq });
  walk.before = { seq: last.seq, stored: last.hash, actual: last.hash, at: last.at, wasReadable: true };
}

/** Heads of other notebooks' segments, by notebook and seq; each segment must hang together. */
export function checkForeignTrails(
  input: CheckInput,
  crypto: RecordCrypto,
  findings: Findings,
): ReadonlyMap<string, ReadonlyMap<number, Sha256Hex>> {
  const trails = new Map<string, Map<number, Sha256Hex>>();
  for (const sealed of input.foreignEvents) {
    const actual = domainHash(crypto, 'event', sealed.bytes);
    const read = readTrailEvent(sealed.bytes);
    if (!read.ok || actual !== sealed.hash) {
      findings.broken(
        'event-changed',
        read.ok ? `${eventPlace(read.value)}, as handed in` : 'an event that was handed in',
        faultFacts(read.ok ? { code: 'wrong-hash', where: '', facts: {} } : read.error),
      );
      continue;
    }
    const { notebook, seq, previous } = read.value;
    const trail = trails.get(notebook) ?? new Map<number, Sha256Hex>();
    const before = seq === 1 ? zeroHash : trail.get(seq - 1);
    if (before !== undefined && before !== previous) {
      findings.broken('event-link', `${eventPlace(read.value)}, as handed in`, { before: seq - 1 });
    }
    trail.set(seq, actual);
    trails.set(notebook, trail);
  }
  return trails;
}
