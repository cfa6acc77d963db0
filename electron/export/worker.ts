import { parentPort, threadId } from 'node:worker_threads';
import type { ReportDocument } from '../../core/report/report-document.ts';
import type { ImageBytes } from './pdf-document.ts';
import { renderPdf } from './render-pdf.ts';

/** What the worker is sent. `images` by SHA-256, as far as the document shows them. */
export type PrintMessage =
  | {
      readonly kind: 'print';
      readonly id: string;
      readonly document: ReportDocument;
      readonly images?: ReadonlyMap<string, ImageBytes>;
    }
  | { readonly kind: 'cancel'; readonly id: string };

/** What it answers. `bytes` is transferred, not copied. */
export type PrintReply =
  | { readonly kind: 'progress'; readonly id: string; readonly fraction: number; readonly stage: string }
  | { readonly kind: 'done'; readonly id: string; readonly bytes: Uint8Array }
  | { readonly kind: 'cancelled'; readonly id: string }
  | { readonly kind: 'failed'; readonly id: string; readonly message: string };

const running = new Map<string, AbortController>();

async function print(message: Extract<PrintMessage, { kind: 'print' }>): Promise<void> {
  const { id, document, images } = message;
  const control = new AbortController();
  running.set(id, control);
  const reply = (answer: PrintReply, transfer: ArrayBuffer[] = []): void =>
    parentPort?.postMessage(answer, transfer);
  try {
    const bytes = await renderPdf(document, {
      ...(images === undefined ? {} : { images }),
      signal: control.signal,
      onProgress: (fraction, stage) => reply({ kind: 'progress', id, fraction, stage }),
    });
    reply({ kind: 'done', id, bytes }, [bytes.buffer as ArrayBuffer]);
  } catch (error) {
    if (control.signal.aborted) reply({ kind: 'cancelled', id });
    else
      reply({
        kind: 'failed',
        id,
        message: error instanceof Error ? (error.stack ?? error.message) : String(error),
      });
  } finally {
    running.delete(id);
  }
}

/**
 * The worker thread that prints. It is started by the services and knows nothing of Electron; one
 * worker may print several documents, one after the other. Laying out one entry is not interrupted
 * (about a tenth of a second); where that is too slow, the thread may be terminated at any time.
 */
if (parentPort !== null && threadId !== 0) {
  parentPort.on('message', (message: PrintMessage) => {
    if (message.kind === 'cancel') running.get(message.id)?.abort();
    else void print(message);
  });
}
