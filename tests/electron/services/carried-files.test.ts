import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkPdf } from '../../../electron/check/check-file.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { png } from '../export/pictures.ts';
import { checkOf, detached, flatText, inspect } from '../export/read-pdf.ts';
import { openDesk, type Desk } from './open-desk.ts';

/** A spectrum in JCAMP-DX (a text format; IUPAC, JCAMP-DX 4.24), made up. */
const spectrum = Buffer.from(
  '##TITLE= product\r\n##JCAMP-DX= 4.24\r\n##DATA TYPE= INFRARED SPECTRUM\r\n##XUNITS= 1/CM\r\n##END=\r\n',
);
const photograph = png({ width: 60, height: 40 });

describe('attached files in a bound PDF', () => {
  let desk: Desk;
  let recordId: string;
  beforeEach(async () => {
    desk = await openDesk('HTTP');
    await desk.begin();
    recordId = await desk.record();
  });
  afterEach(async () => {
    await desk.close();
    expect(desk.logged).toEqual([]);
  });

  const bound = async (what: { entryId: string } | { recordId: string }): Promise<Uint8Array> => {
    const own = await desk.as('Ada');
    let job = 'entryId' in what ? await own.get('entry.bind', what) : await own.get('record.bind', what);
    while (job.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 40));
      job = await own.get('job.state', { jobId: job.id });
    }
    const [client] =
      desk.running.program.sessions.all().find(([, one]) => one.person.printedName === 'Ada') ?? [];
    return desk.running.jobFile(job.id, client ?? '')?.bytes ?? new Uint8Array();
  };

  it('are there as they were attached, for the entry and for the record', async () => {
    const { id: entryId } = await desk.entry('Ada', recordId);
    const own = await desk.as('Ada');
    for (const [index, [name, data]] of (
      [
        ['crystals Ü (1).png', photograph],
        ['product.jdx', spectrum],
      ] as const
    ).entries()) {
      await own.get('attachment.add', {
        entryId,
        revision: index + 1,
        section: 'result',
        name,
        caption: '',
        data: data.toString('base64'),
      });
    }
    await desk.sign('Ada', entryId);
    for (const bytes of [await bound({ entryId }), await bound({ recordId })]) {
      // poppler's pdfdetach gives them back.
      expect(sha256(detached(bytes, '001-crystals_U_1_.png'))).toBe(sha256(photograph));
      expect(sha256(detached(bytes, '001-product.jdx'))).toBe(sha256(spectrum));
      // ISO 19005-3 §6.8: each is an associated file with its relationship.
      for (const name of ['001-crystals_U_1_.png', '001-product.jdx']) {
        expect(inspect(bytes).files).toContainEqual(
          expect.objectContaining({
            name,
            relationship: '/Supplement',
            isChecksumRight: true,
            isAssociated: true,
          }),
        );
      }
      expect(checkOf(bytes)).toContain('No syntax or stream encoding errors found');
      const text = flatText(bytes);
      expect(text).toContain('inside this PDF as 001-product.jdx');
      const report = await checkPdf(bytes);
      expect(report.ok && report.value.checked).toContainEqual({ what: 'attachments', count: 2 });
      expect(report.ok && report.value.findings.map((one) => one.code)).not.toContain('attachment-not-here');
    }
  });
});
