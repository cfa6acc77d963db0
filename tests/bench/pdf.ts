import { Worker } from 'node:worker_threads';
import type { ReportDocument } from '../../core/report/report-document.ts';
import { entryReport } from '../../core/report/entry-report.ts';
import { recordReport } from '../../core/report/record-report.ts';
import type { PrintMessage, PrintReply } from '../../electron/export/worker.ts';
import { sampleBundle, sampleRecord } from '../core/report/sample-bundle.ts';

interface Row {
  readonly label: string;
  readonly value: number;
  readonly unit: string;
}

const entryRuns = 7;
const recordEntries = 30;

/** Prints in a worker of its own, as the program does; gives the time from sending to the finished bytes. */
class Printer {
  private readonly worker = new Worker(new URL('../../electron/export/worker.ts', import.meta.url));

  async print(document: ReportDocument): Promise<{ readonly ms: number; readonly bytes: Uint8Array }> {
    const begin = performance.now();
    const bytes = await new Promise<Uint8Array>((resolve, reject) => {
      const listen = (reply: PrintReply): void => {
        if (reply.kind === 'progress') return;
        this.worker.off('message', listen);
        if (reply.kind === 'done') resolve(reply.bytes);
        else reject(new Error(reply.kind === 'failed' ? reply.message : reply.kind));
      };
      this.worker.on('message', listen);
      this.worker.once('error', reject);
      this.worker.postMessage({ kind: 'print', id: 'bench', document } satisfies PrintMessage);
    });
    return { ms: performance.now() - begin, bytes };
  }

  async close(): Promise<void> {
    await this.worker.terminate();
  }
}

const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;

const pageCount = (bytes: Uint8Array): number =>
  Buffer.from(bytes).toString('latin1').match(/\/Type \/Page\b(?!s)/g)?.length ?? 0;

/** Resident memory, MB, at its highest while `work` runs. */
async function peakMemoryMb(work: () => Promise<void>): Promise<number> {
  let peak = process.memoryUsage().rss;
  const timer = setInterval(() => {
    peak = Math.max(peak, process.memoryUsage().rss);
  }, 20);
  try {
    await work();
  } finally {
    clearInterval(timer);
  }
  return Math.max(peak, process.memoryUsage().rss) / 1e6;
}

/** One entry to PDF, cold and warm; a bound record of thirty entries: pages a second, peak memory. */
export default async function (): Promise<{ name: string; rows: Row[] }> {
  const rows: Row[] = [];
  const printer = new Printer();
  try {
    const entry = entryReport(sampleBundle());
    const cold = await printer.print(entry);
    rows.push({ label: `one entry of ${pageCount(cold.bytes)} pages, cold`, value: cold.ms, unit: 'ms' });
    const warm: number[] = [];
    for (let run = 0; run < entryRuns; run += 1) warm.push((await printer.print(entry)).ms);
    rows.push({ label: 'the same, warm, median', value: median(warm), unit: 'ms' });
    rows.push({ label: 'its size', value: cold.bytes.length / 1e3, unit: 'kB' });

    const record = recordReport(sampleRecord(recordEntries));
    let bound = { ms: NaN, bytes: new Uint8Array() };
    const peak = await peakMemoryMb(async () => {
      bound = await printer.print(record);
    });
    const pages = pageCount(bound.bytes);
    rows.push({ label: `a record of ${recordEntries} entries, ${pages} pages`, value: bound.ms / 1e3, unit: 's' });
    rows.push({ label: 'pages bound', value: pages / (bound.ms / 1e3), unit: 'pages/s' });
    rows.push({ label: 'peak memory of the process while binding', value: peak, unit: 'MB' });
    rows.push({ label: 'size of the bound record', value: bound.bytes.length / 1e6, unit: 'MB' });
  } finally {
    await printer.close();
  }
  return { name: 'PDF', rows };
}
