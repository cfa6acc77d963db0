import type Database from 'better-sqlite3';
import { shownBytes } from '../../core/attachments/attachment-file.ts';
import type { ReportDocument } from '../../core/report/report-document.ts';
import type { ImageBytes } from '../export/pdf-document.ts';

/** The attached files that a report carries inside, by SHA-256, as they were attached. */
export function carriedFilesOf(
  database: Database.Database,
  { carried = [] }: ReportDocument,
): Map<string, Uint8Array> {
  const read = database.prepare('select data from attachment where sha256 = ?').pluck();
  return new Map(carried.map(({ sha256 }) => [sha256, read.get(sha256) as Uint8Array]));
}

/**
 * The attached pictures a report shows, by SHA-256, without what they say of place and device; one that
 * is not in the file is left out.
 */
export function picturesOf(database: Database.Database, report: ReportDocument): Map<string, ImageBytes> {
  const pictures = new Map<string, ImageBytes>();
  const read = database.prepare('select media_type, data from attachment where sha256 = ?');
  for (const block of report.parts.flatMap((part) => part.blocks)) {
    if (block.kind !== 'image' || pictures.has(block.sha256)) continue;
    const row = read.get(block.sha256) as { media_type: string; data: Uint8Array } | undefined;
    if (row !== undefined)
      pictures.set(block.sha256, { bytes: shownBytes(row.media_type, row.data), mediaType: row.media_type });
  }
  return pictures;
}
