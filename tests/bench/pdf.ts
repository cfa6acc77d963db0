import { entryReport } from '../../core/report/entry-report.ts';
import { recordReport } from '../../core/report/record-report.ts';
import { renderPdf } from '../../electron/export/render-pdf.ts';
import { sampleBundle, sampleRecord } from '../core/report/sample-bundle.ts';

interface Row {
  readonly label: string;
  readonly value: number;
  readonly unit: string;
}

const entryRuns = 9;
const recordEntries = 30;

const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;

const pageCount = (bytes: Uint8Array): number =>
  Buffer.from(bytes)
    .toString('latin1')
    .match(/\/Type \/Page\b(?!s)/g)?.length ?? 0;

interface Run<T> {
  readonly result: T;
  readonly ms: number;
  /** Time of the processor, which other programs do not lengthen. */
  readonly cpuMs: number;
  /** Resident memory of the process at its highest, MB. */
  readonly peakMb: number;
}

async function timed<T>(work: () => Promise<T>): Promise<Run<T>> {
  let peak = process.memoryUsage().rss;
  const look = setInterval(() => {
    peak = Math.max(peak, process.memoryUsage().rss);
  }, 20);
  const cpu = process.cpuUsage();
  const begin = performance.now();
  try {
    const result = await work();
    const ms = performance.now() - begin;
    const { user, system } = process.cpuUsage(cpu);
    return {
      result,
      ms,
      cpuMs: (user + system) / 1000,
      peakMb: Math.max(peak, process.memoryUsage().rss) / 1e6,
    };
  } finally {
    clearInterval(look);
  }
}

/** One entry to PDF, cold and warm; a bound record of thirty entries: pages a second, peak memory. */
export default async function (): Promise<{ name: string; rows: Row[] }> {
  const one = (): Promise<Uint8Array> => renderPdf(entryReport(sampleBundle()));
  const cold = await timed(one);
  const warm: Run<Uint8Array>[] = [];
  for (let run = 0; run < entryRuns; run += 1) warm.push(await timed(one));
  const record = await timed(() => renderPdf(recordReport(sampleRecord(recordEntries))));
  const pages = pageCount(record.result);
  return {
    name: 'PDF',
    rows: [
      { label: `one entry, ${pageCount(cold.result)} pages, cold`, value: cold.ms, unit: 'ms' },
      { label: 'one entry, warm, median', value: median(warm.map((run) => run.ms)), unit: 'ms' },
      {
        label: 'one entry, warm, median, processor',
        value: median(warm.map((run) => run.cpuMs)),
        unit: 'ms',
      },
      { label: 'one entry, size', value: cold.result.length / 1e3, unit: 'kB' },
      { label: `record of ${recordEntries} entries, ${pages} pages`, value: record.ms / 1e3, unit: 's' },
      { label: 'record, pages bound', value: pages / (record.ms / 1e3), unit: 'pages/s' },
      { label: 'record, pages bound, processor', value: pages / (record.cpuMs / 1e3), unit: 'pages/s' },
      { label: 'record, peak memory of the process', value: record.peakMb, unit: 'MB' },
      { label: 'record, size', value: record.result.length / 1e6, unit: 'MB' },
    ],
  };
}
