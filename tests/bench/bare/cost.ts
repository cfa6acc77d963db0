import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import { domainBytes, domainHash, type SealedKind } from '../../../core/record/domain.ts';
import { recordCrypto } from '../../../electron/keys/crypto.ts';
import type { PaperNotebook } from '../../core/record/paper-notebook.ts';

/** What a check has to hash, and the signatures it has to verify. */
export interface BareWork {
  readonly hashed: readonly (readonly [SealedKind, string])[];
  readonly signed: readonly (readonly [key: string, bytes: string, signature: string])[];
}

export function bareWorkOf(notebook: PaperNotebook): BareWork {
  const rows = (table: string) => notebook.tables[table] ?? [];
  const kinds = ['event', 'version', 'signature', 'certificate'] as const;
  const keys = new Map(rows('certificate').map((row) => [row['hash'], String(row['public_key'])]));
  return {
    hashed: kinds.flatMap((kind) => rows(kind).map((row) => [kind, String(row['bytes'])] as const)),
    signed: rows('signature').map((row) => [
      keys.get(row['certificate_hash'] ?? '') ?? '',
      String(row['bytes']),
      String(row['signature']),
    ]),
  };
}

/** No more than the hashes and the signature verifications, on one core. */
export function bareCost({ hashed, signed }: BareWork): number {
  let sum = 0;
  for (const [kind, bytes] of hashed) sum += domainHash(recordCrypto, kind, bytes).length;
  for (const [key, bytes, signature] of signed) {
    sum += Number(recordCrypto.verifyEd25519(key, domainBytes('signature', bytes), signature));
  }
  return sum;
}

/** The same shared out among so many threads, which are there and have their data before the time runs. */
export async function bareOnCores(work: BareWork, cores: number) {
  const share = <T>(list: readonly T[], of: number): readonly T[] => list.filter((_, n) => n % cores === of);
  const workers = await Promise.all(
    Array.from({ length: cores }, async (_, of) => {
      const worker = new Worker(new URL('./worker.ts', import.meta.url));
      worker.postMessage({ hashed: share(work.hashed, of), signed: share(work.signed, of) });
      await once(worker, 'message');
      return worker;
    }),
  );
  return {
    run: () =>
      Promise.all(
        workers.map(async (worker) => {
          const done = once(worker, 'message');
          worker.postMessage('go');
          await done;
        }),
      ),
    end: () => Promise.all(workers.map((worker) => worker.terminate())),
  };
}
