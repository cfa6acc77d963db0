import { Worker } from 'node:worker_threads';
import { DatabaseError } from '../storage/database-message.ts';
import type { Work, WorkAnswer, WorkMessage, WorkReply } from '../worker/job-message.ts';

export interface WorkWatch {
  readonly signal: AbortSignal;
  readonly onProgress: (fraction: number, stage: string) => void;
  /** Signs what the thread wants signed; the key itself never goes there. */
  readonly sign?: (bytes: Uint8Array) => string;
}

/** How long a thread may go on after it was asked to stop, ms; then it is ended. */
const patienceMs = 1_500;

/**
 * Does a piece of work in a thread of its own.
 *
 * @throws the signal's reason when it was aborted; DatabaseError where the file was the matter
 */
export function doWork(work: Work, { signal, onProgress, sign }: WorkWatch): Promise<WorkAnswer> {
  signal.throwIfAborted();
  const file = import.meta.url.endsWith('.ts') ? '../worker/job-worker.ts' : './job-worker.js';
  const worker = new Worker(new URL(file, import.meta.url), { execArgv: [] });
  const send = (message: WorkMessage): void => worker.postMessage(message);
  return new Promise<WorkAnswer>((resolve, reject) => {
    const abort = (): void => {
      send({ kind: 'cancel' });
      setTimeout(() => void worker.terminate(), patienceMs).unref();
    };
    signal.addEventListener('abort', abort, { once: true });
    worker.on('message', (reply: WorkReply) => {
      switch (reply.kind) {
        case 'progress':
          onProgress(reply.fraction, reply.stage);
          return;
        case 'sign':
          if (sign === undefined)
            reject(new Error('the thread wants something signed that nobody asked for'));
          else send({ kind: 'signed', signature: sign(reply.bytes) });
          return;
        case 'done':
          resolve(reply.answer);
          break;
        case 'cancelled':
          reject(signal.reason as Error);
          break;
        case 'failed':
          reject(
            reply.code === null ? new Error(reply.message) : new DatabaseError(reply.message, reply.code),
          );
      }
      signal.removeEventListener('abort', abort);
      void worker.terminate();
    });
    worker.on('error', reject);
    worker.on('exit', () =>
      reject(signal.aborted ? (signal.reason as Error) : new Error('the thread ended before its work')),
    );
    send({ kind: 'begin', work });
  });
}
