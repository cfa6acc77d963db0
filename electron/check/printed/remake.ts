import type { Bundle } from '../../../core/record/bundle.ts';
import { entryReport } from '../../../core/report/entry-report.ts';
import { initialsOf } from '../../../core/report/people.ts';
import { recordReport } from '../../../core/report/record-report.ts';
import type { ReportDocument } from '../../../core/report/report-document.ts';
import { renderPdf } from '../../export/render-pdf.ts';
import { entryBundle, recordBundle } from '../../worker/gather-bundle.ts';
import { picturesOf } from '../../worker/pictures.ts';
import { bundleDatabase, peopleOf } from './bundle-database.ts';
import { missingWords } from './compare-words.ts';
import type { PrintedPages } from './read-pages.ts';

/**
 * What stands on the pages and is no part of what anybody signed: it is taken over from the pages
 * themselves, so that everything else can be held against the data.
 */
export interface Declared {
  /** By person; those that no page states with the name are guessed from the name. */
  readonly guessed: ReadonlySet<string>;
  readonly initials: ReadonlyMap<string, string>;
  /** When it was bound, UTC, and the offset of the clock on the wall there, minutes. */
  readonly at: string;
  readonly offsetMinutes: number;
  /** Of a record: how far the audit trail had got; the end of it is not carried along. */
  readonly trail: { readonly head: string; readonly length: number } | null;
  /** Of a record: who had it bound, and the seal it was given. What a seal is worth is checked with the seal. */
  readonly boundBy: string;
  readonly seal: { readonly name: string; readonly certificate: string } | null;
  /** The attached files are inside the PDF. */
  readonly carriesFiles: boolean;
}

const asPattern = (text: string): string =>
  text
    .split(/\s+/)
    .map((word) => word.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&'))
    .join(' ');

/** `3F2A 91C0 …`, as fingerprints are printed. */
const printedHash = '((?:[0-9A-F]{4} ){4}[0-9A-F]{4})';
/** What is printed of a hash, as a hash that prints the same. */
const hashOf = (printed: string | undefined): string =>
  (printed ?? '').replaceAll(' ', '').toLowerCase().padEnd(64, '0');

/** Minutes east of UTC from `UTC`, `UTC+01:00`, `UTC−03:30`. */
function minutesOf(text: string): number {
  const match = /^UTC(?:([+−-])(\d\d):(\d\d))?$/.exec(text);
  if (match?.[1] === undefined) return 0;
  const size = Number(match[2]) * 60 + Number(match[3]);
  return match[1] === '+' ? size : -size;
}

/** Reads off the pages what they declare. Several offsets may be printed; each is tried by the caller. */
export function declaredOn(pages: PrintedPages, bundle: Bundle): readonly Declared[] {
  const text = pages.pages.map((words) => words.join(' ')).join(' ');
  const initials = new Map<string, string>();
  const guessed = new Set<string>();
  for (const person of peopleOf(bundle)) {
    const stated = new RegExp(`${asPattern(person.printedName)} \\((\\S{1,8})\\)`, 'u').exec(text)?.[1];
    if (stated === undefined) guessed.add(person.id);
    initials.set(person.id, stated ?? initialsOf([], { person: person.id, printedName: person.printedName }));
  }
  const head = new RegExp(`audit trail when bound: ${printedHash}, event (\\d{1,15})\\b`).exec(text);
  const trail = head === null ? null : { head: hashOf(head[1]), length: Number(head[2]) };
  const seal = new RegExp(`Sealed by (.{1,400}?), certificate ${printedHash}\\. A PDF reader`).exec(text);
  const bound = /Bound [^(]{1,60}\((UTC(?:[+−-]\d\d:\d\d)?)\)/.exec(text)?.[1];
  const printed = [...text.matchAll(/\((UTC(?:[+−-]\d\d:\d\d)?)\)/g)].map((match) => match[1] ?? 'UTC');
  const often = [...Map.groupBy(printed, (offset) => offset)].sort((a, b) => b[1].length - a[1].length);
  const offsets = bound === undefined ? often.slice(0, 4).map(([offset]) => offset) : [bound];
  return (offsets.length === 0 ? ['UTC'] : offsets).map((offset) => ({
    guessed,
    initials,
    at: pages.createdAt === '' ? '1970-01-01T00:00:00.000Z' : pages.createdAt,
    offsetMinutes: minutesOf(offset),
    trail,
    boundBy: /Not sealed: bound by (.{1,400}?)\. Only a copy/.exec(text)?.[1] ?? '',
    seal: seal === null ? null : { name: seal[1] ?? '', certificate: hashOf(seal[2]) },
    carriesFiles: text.includes('inside this PDF as'),
  }));
}

/**
 * Initials that the pages give somebody without saying whose they are (a comment by an instructor who
 * signed nothing): a short word that only the pages have, in the place of what was guessed.
 *
 * @returns null when there is nothing to be taken over
 */
export function withPrintedInitials(
  declared: Declared,
  printed: readonly string[],
  data: readonly string[],
): Declared | null {
  const onlyPrinted = [...new Set(missingWords(printed, data))].filter((word) => /^\p{L}{1,4}$/u.test(word));
  const onlyData = new Set(missingWords(data, printed));
  const person = [...declared.guessed].find((id) => onlyData.has(declared.initials.get(id) ?? ''));
  const [only, ...others] = onlyPrinted;
  if (person === undefined || only === undefined || others.length > 0) return null;
  const guessed = new Set([...declared.guessed].filter((id) => id !== person));
  return { ...declared, guessed, initials: new Map([...declared.initials, [person, only]]) };
}

export interface Remade {
  readonly bytes: Uint8Array;
  readonly report: ReportDocument;
  /** Pictures the pages show and the file does not carry. */
  readonly missingPictures: number;
}

/**
 * Prints the record a PDF carries once more, from its data alone.
 *
 * @param isRecord the whole record with certificate and index, or one entry
 * @throws when the data cannot be printed; the check of the record says what is wrong with them
 */
export async function remake(
  bundle: Bundle,
  isRecord: boolean,
  declared: Declared,
  files: readonly Uint8Array[],
  signal?: AbortSignal,
): Promise<Remade> {
  const { database, db } = await bundleDatabase(bundle, declared.initials, files);
  try {
    const reader = {
      // Whoever may see all of it: who was allowed to print is not the question here.
      person: { id: '', printedName: '', initials: '', role: 'department' as const },
      at: declared.at,
      offsetMinutes: declared.offsetMinutes,
      sealWith: null,
    };
    const { carriesFiles, boundBy, seal } = declared;
    const ids = (table: string): readonly string[] =>
      bundle.rows.filter((one) => one.table === table).map((one) => String(one.row['id']));
    const stop = signal ?? new AbortController().signal;
    let report: ReportDocument;
    if (isRecord) {
      const whole = await recordBundle(
        db,
        database,
        { ...reader, recordId: ids('record')[0] ?? '' },
        stop,
        carriesFiles,
      );
      const trail =
        declared.trail === null ? {} : { trailHead: declared.trail.head, trailLength: declared.trail.length };
      report = recordReport({ ...whole, ...trail, boundBy, seal });
    } else {
      report = entryReport(
        await entryBundle(db, database, { ...reader, entryId: ids('entry')[0] ?? '' }, carriesFiles),
      );
    }
    const images = picturesOf(database, report);
    const shown = report.parts.flatMap((part) => part.blocks).filter((block) => block.kind === 'image');
    const isPicture = (type: string): boolean => type === 'image/png' || type === 'image/jpeg';
    const missing = shown.filter((block) => isPicture(block.mediaType) && !images.has(block.sha256));
    return {
      bytes: await renderPdf({ ...report, embedded: [], carried: [] }, { images, ...(signal && { signal }) }),
      report,
      missingPictures: missing.length,
    };
  } finally {
    await db.destroy();
  }
}
