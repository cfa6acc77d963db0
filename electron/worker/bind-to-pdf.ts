import { Kysely, SqliteDialect } from 'kysely';
import { entryReport } from '../../core/report/entry-report.ts';
import { recordReport } from '../../core/report/record-report.ts';
import type { ReportDocument } from '../../core/report/report-document.ts';
import type { RenderOptions } from '../export/render-pdf.ts';
import { openForReading } from '../storage/open-for-reading.ts';
import type { Tables } from '../storage/tables.ts';
import { entryBundle, recordBundle } from './gather-bundle.ts';
import { carriedFilesOf, picturesOf } from './pictures.ts';
import { printReport } from './print-report.ts';
import type { Printing } from './job-message.ts';

type Progress = Required<Pick<RenderOptions, 'onProgress' | 'signal'>>;

/** Share of the time spent on reading the notebook; the rest is printing. */
const gatheringShare = 0.1;

/**
 * Prints an entry or a whole record as the notebook stands now: one consistent reading, whatever is
 * written meanwhile.
 *
 * @throws the signal's reason when it is aborted
 */
export async function bindToPdf(
  work: Printing,
  { onProgress, signal }: Progress,
): Promise<{ readonly bytes: Uint8Array; readonly name: string }> {
  const { database, close } = openForReading(work.path);
  let report: ReportDocument;
  let files: Map<string, Uint8Array>;
  let images: ReturnType<typeof picturesOf>;
  try {
    database.exec('begin');
    const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
    onProgress(0, 'reading the notebook');
    report =
      work.kind === 'entry-pdf'
        ? entryReport(await entryBundle(db, database, work))
        : recordReport(await recordBundle(db, database, work, signal));
    images = picturesOf(database, report);
    files = carriedFilesOf(database, report);
  } finally {
    close();
  }
  signal.throwIfAborted();
  const bytes = await printReport(report, work.sealWith ?? null, {
    signal,
    images,
    files,
    onProgress: (fraction, stage) => onProgress(gatheringShare + (1 - gatheringShare) * fraction, stage),
  });
  return { bytes, name: `${fileName(report.title)}.pdf` };
}

/** A name every file system takes. */
const fileName = (title: string): string =>
  title
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}\-+,() ]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim()
    .slice(0, 100)
    .trim() || 'record';
