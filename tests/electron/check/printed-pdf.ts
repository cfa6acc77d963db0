import { bundleFileName, readBundle } from '../../../core/record/bundle.ts';
import { peopleOf } from '../../../electron/check/printed/bundle-database.ts';
import { remake } from '../../../electron/check/printed/remake.ts';
import { renderPdf } from '../../../electron/export/render-pdf.ts';

/** The first entry of a bundle as a PDF that carries the bundle, as the program prints it. */
export async function printedPdf(text: string, files: readonly Uint8Array[] = []): Promise<Uint8Array> {
  const bundle = readBundle(text);
  if (!bundle.ok) throw new Error(bundle.error.code);
  const initials = new Map(
    peopleOf(bundle.value).map((person) => [person.id, person.printedName.replace(/[^A-Z]/g, '').slice(-2)]),
  );
  const { report } = await remake(
    bundle.value,
    false,
    {
      guessed: new Set(),
      initials,
      at: '2027-03-09T10:00:00.000Z',
      offsetMinutes: 60,
      trail: null,
      boundBy: '',
      seal: null,
      carriesFiles: false,
    },
    files,
  );
  return renderPdf({
    ...report,
    embedded: [
      {
        name: bundleFileName,
        mediaType: 'application/json',
        text,
        description: 'the signed record',
        relationship: 'Data',
      },
    ],
  });
}
