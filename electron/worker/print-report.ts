import type { EmbeddedFile, ReportDocument } from '../../core/report/report-document.ts';
import { sealFileName, sealStatementText } from '../../core/record/seal-key.ts';
import { renderPdf, type RenderOptions } from '../export/render-pdf.ts';
import type { SealWith } from '../services/seal-key.ts';

/**
 * Prints a report, under the department's seal where there is one.
 *
 * @throws the signal's reason when it is aborted
 */
export function printReport(
  report: ReportDocument,
  sealWith: SealWith | null,
  options: Omit<RenderOptions, 'seal'>,
): Promise<Uint8Array> {
  if (sealWith === null) return renderPdf(report, options);
  const embedded = [...report.embedded, wordOnSeal(sealWith)];
  return renderPdf({ ...report, embedded }, { ...options, seal: sealOf(sealWith) });
}

/** As PDF readers show it beside the seal. */
const sealOf = (sealWith: SealWith): NonNullable<RenderOptions['seal']> => ({
  key: sealWith,
  name: sealWith.name,
  reason: 'Bound by the department',
  at: new Date(sealWith.at),
});

/** With the certificate in the seal and this, a reader needs nothing but the department's key. */
const wordOnSeal = ({ statement }: SealWith): EmbeddedFile => ({
  name: sealFileName,
  mediaType: 'application/json',
  text: sealStatementText(statement),
  description: 'The word of the department’s key on the certificate of the seal',
  relationship: 'Supplement',
});
