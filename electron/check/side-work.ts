import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type Database from 'better-sqlite3';
import type { Stretch, WalkedStretch } from '../../core/record/check-input.ts';
import { sealedRow } from '../../core/record/check-tables.ts';
import type { StoredRow } from '../../core/record/attest.ts';
import type { RecordCrypto } from '../../core/record/domain.ts';
import { recordCrypto, sha256 } from '../keys/crypto.ts';
import { sharePart, type Share, type ShareDone } from './share.ts';

/**
 * What a thread costs before it does anything: loading it and passing its answer cost about as much as walking 30,000 events.
 * Below this many, and an Ed25519 verification weighs as much as 20 events, one thread is done sooner.
 */
const worthThreads = 60_000;
const signatureWeight = 20;
const mostThreads = 8;
/** What other threads found in good order, and need not be done again. */
export interface SideWork {
  readonly stretches: readonly Stretch[];
  readonly crypto: RecordCrypto;
  readonly threads: number;
}

export interface SideOptions {
  readonly signal?: AbortSignal;
  /** Threads to use, this one included; as many as there are cores unless said otherwise. */
  readonly threads?: number;
  /** Uses them for however little. */
  readonly always?: boolean;
}

/**
 * Begins to have the trail walked and the signatures verified by all cores; the caller may do other work
 * before it asks for the rest. Others only save work: a stretch or a signature that is not in perfect
 * order is looked at again where it stands, by the check itself.
 *
 * @param database the file being checked, in a transaction for reading
 * @returns does this thread's own share and puts all of them together; null where it is not worth it, or
 *   the file is not such that it can be shared out
 */
export function workBeside(
  database: Database.Database,
  options: SideOptions,
): (() => Promise<SideWork>) | null {
  const shares = sharesOf(database, options);
  const [own, ...others] = shares;
  if (own === undefined) return null;
  const { signal } = options;
  const running = others.map((share) => inThread(share, signal));
  return async () => {
    const done = [sharePart(database, own), ...(await Promise.all(running))];
    signal?.throwIfAborted();
    return putTogether(database, shares, done);
  };
}

/** This thread also looks over the pages of the file meanwhile. */
const ownPart = 0.4;

function sharesOf(
  database: Database.Database,
  { threads = availableParallelism(), always = false }: SideOptions,
): readonly Share[] {
  const count = Math.min(threads, mostThreads);
  const { events, first, last } = database
    .prepare('select count(*) as events, min(seq) as first, max(seq) as last from event')
    .get() as { events: number; first: unknown; last: unknown };
  const signatures = Number(database.prepare('select count(*) from signature').pluck().get());
  const notebook: unknown = database.prepare('select id from notebook').pluck().get();
  if (count < 2 || events < 4 * count || typeof notebook !== 'string') return [];
  if (!always && events + signatures * signatureWeight < worthThreads) return [];
  // Anything but whole numbers without a gap is looked at in one go.
  if (typeof first !== 'number' || typeof last !== 'number' || last - first + 1 !== events) return [];
  return stretchesOf(first, last, count).map(([from, to], share): Share => {
    return { path: database.name, notebook, from, to, share, of: count };
  });
}

/** Cuts a trail into stretches, the first of them shorter; together they are the whole of it. */
export function stretchesOf(
  first: number,
  last: number,
  count: number,
): readonly (readonly [from: number, to: number])[] {
  const events = last - first + 1;
  const begins = Array.from({ length: count }, (_, share) =>
    share === 0 ? first : first + Math.floor((events * (ownPart + share - 1)) / (ownPart + count - 1)),
  );
  // The ends follow from the beginnings and are not computed a second time: a rounding would lose an event.
  return begins.map((from, share) => [from, (begins[share + 1] ?? last + 1) - 1] as const);
}

function putTogether(
  database: Database.Database,
  shares: readonly Share[],
  done: readonly (ShareDone | null)[],
): SideWork {
  const range = database.prepare('select * from event where seq between ? and ? order by seq');
  const verified = new Set(done.flatMap((one) => one?.verified ?? []));
  return {
    threads: shares.length,
    stretches: shares.map(({ from, to }, index): Stretch => {
      const walked: WalkedStretch | null = done[index]?.walked ?? null;
      const isWhole = walked?.first.seq === from && walked.last.seq === to;
      return {
        walked: isWhole ? walked : null,
        events: {
          *[Symbol.iterator]() {
            for (const row of range.iterate(from, to)) yield sealedRow(row as StoredRow);
          },
        },
      };
    }),
    crypto: {
      ...recordCrypto,
      verifyEd25519: (publicKey, bytes, signature) =>
        verified.has(`${publicKey} ${signature} ${sha256(bytes)}`) ||
        recordCrypto.verifyEd25519(publicKey, bytes, signature),
    },
  };
}

/** A share done by a thread of its own; null where that failed, and the check does it itself. */
function inThread(share: Share, signal: AbortSignal | undefined): Promise<ShareDone | null> {
  const file = import.meta.url.endsWith('.ts') ? './share-worker.ts' : './share-worker.js';
  const worker = new Worker(new URL(file, import.meta.url), { workerData: share, execArgv: [] });
  return new Promise((resolve) => {
    const stop = (): void => void worker.terminate();
    signal?.addEventListener('abort', stop, { once: true });
    worker.once('message', (done: ShareDone) => {
      resolve(done);
      stop();
    });
    worker.once('error', () => resolve(null));
    worker.once('exit', () => {
      signal?.removeEventListener('abort', stop);
      resolve(null);
    });
  });
}
