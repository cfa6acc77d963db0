import { parentPort, threadId } from 'node:worker_threads';
import { checkFile } from '../check/check-file.ts';
import { bindToPdf } from './bind-to-pdf.ts';
import { depositRecords } from './deposit-records.ts';
import type { Work, WorkAnswer, WorkMessage, WorkReply } from './job-message.ts';

/** A thread for long work. One piece of work, then it is thrown away. */
const control = new AbortController();
const reply = (answer: WorkReply, transfer: ArrayBuffer[] = []): void =>
  parentPort?.postMessage(answer, transfer);

/** What waits for a signature of the thread that asked; one at a time. */
let signed: ((signature: string) => void) | null = null;
const sign = (bytes: Uint8Array): Promise<string> =>
  new Promise((resolve) => {
    signed = resolve;
    reply({ kind: 'sign', bytes });
  });

async function run(work: Work): Promise<WorkAnswer> {
  const options = {
    signal: control.signal,
    onProgress: (fraction: number, stage: string) => reply({ kind: 'progress', fraction, stage }),
  };
  if (work.kind === 'check') {
    const result = await checkFile(work.path, { ...options, pinnedKey: work.pinnedKey });
    return { kind: 'check', result };
  }
  if (work.kind === 'deposit') {
    return { kind: 'deposit', ...(await depositRecords(work, { ...options, sign })) };
  }
  return { kind: 'pdf', ...(await bindToPdf(work, options)) };
}

async function begin(work: Work): Promise<void> {
  try {
    const answer = await run(work);
    reply({ kind: 'done', answer }, answer.kind === 'pdf' ? [answer.bytes.buffer as ArrayBuffer] : []);
  } catch (error) {
    if (control.signal.aborted) reply({ kind: 'cancelled' });
    else {
      const { message, stack, code } = error as Error & { readonly code?: unknown };
      reply({ kind: 'failed', message: stack ?? message, code: typeof code === 'string' ? code : null });
    }
  } finally {
    // This thread was sent a copy of the seal's key.
    if ('sealWith' in work) work.sealWith?.privateKey.fill(0);
  }
}

if (parentPort !== null && threadId !== 0) {
  parentPort.on('message', (message: WorkMessage) => {
    if (message.kind === 'cancel') control.abort();
    else if (message.kind === 'signed') signed?.(message.signature);
    else void begin(message.work);
  });
}
