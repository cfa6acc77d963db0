import { Worker } from 'node:worker_threads';
import { afterEach, describe, expect, it } from 'vitest';
import type { PrintMessage, PrintReply } from '../../../electron/export/worker.ts';
import { infoOf } from './read-pdf.ts';
import { entryPart, sampleReport } from './sample-report.ts';

const workers: Worker[] = [];
function start(): {
  ask: (message: PrintMessage) => void;
  replies: PrintReply[];
  until: (kind: PrintReply['kind']) => Promise<PrintReply>;
} {
  const worker = new Worker(new URL('../../../electron/export/worker.ts', import.meta.url));
  workers.push(worker);
  const replies: PrintReply[] = [];
  const waiting: { kind: string; resolve: (reply: PrintReply) => void }[] = [];
  worker.on('message', (reply: PrintReply) => {
    replies.push(reply);
    for (const one of waiting.filter(({ kind }) => kind === reply.kind)) one.resolve(reply);
  });
  return {
    ask: (message) => worker.postMessage(message),
    replies,
    until: (kind) => new Promise((resolve) => waiting.push({ kind, resolve })),
  };
}

afterEach(async () => {
  await Promise.all(workers.splice(0).map((worker) => worker.terminate()));
});

const long = sampleReport({
  parts: Array.from({ length: 60 }, (_, index) => ({ ...entryPart, id: `e${index}` })),
});

describe('the printing worker', () => {
  it('prints without Electron, tells its progress and hands over the bytes', async () => {
    const { ask, until, replies } = start();
    const done = until('done');
    ask({ kind: 'print', id: 'a', document: sampleReport() });
    const reply = await done;
    expect(reply.kind === 'done' && infoOf(reply.bytes)).toMatch(/Title: +Entry 3: Acetylsalicylic acid/);
    expect(replies.filter((one) => one.kind === 'progress').length).toBeGreaterThan(1);
    expect(replies.every((one) => one.id === 'a')).toBe(true);
  });

  it('stops a long print when asked, and prints the next', async () => {
    const { ask, until } = start();
    const begun = until('progress');
    const cancelled = until('cancelled');
    ask({ kind: 'print', id: 'long', document: long });
    await begun;
    ask({ kind: 'cancel', id: 'long' });
    expect(await cancelled).toEqual({ kind: 'cancelled', id: 'long' });
    const done = until('done');
    ask({ kind: 'print', id: 'next', document: sampleReport() });
    expect((await done).id).toBe('next');
  });

  it('answers a document it cannot print with what went wrong', async () => {
    const { ask, until } = start();
    const failed = until('failed');
    ask({ kind: 'print', id: 'b', document: sampleReport({ createdAt: 'never' }) });
    const reply = await failed;
    expect(reply.kind === 'failed' && reply.message).toMatch(/./);
  });
});
