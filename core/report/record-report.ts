import { fingerprint } from '../record/fingerprint.ts';
import type { EntryState } from '../record/objects.ts';
import { dateText, whenText } from '../record/when.ts';
import type { EntryBundle, RecordBundle } from './bundle.ts';
import { entryPart, entryPartId } from './entry-report.ts';
import type { Block, IndexRow, Line, ReportDocument, ReportPart, Run } from './report-document.ts';
import { plain, shortened } from './runs.ts';

/** A whole practical record: certificate page, index page, then every entry with its trail. */
export function recordReport(bundle: RecordBundle): ReportDocument {
  return {
    title: `${bundle.title}: ${bundle.owner.printedName}`,
    author: bundle.owner.printedName,
    subject: bundle.course,
    keywords: 'practical record; bound',
    language: 'en-GB',
    createdAt: bundle.createdAt,
    parts: [certificate(bundle), index(bundle), ...bundle.entries.map(entryPart)],
    embedded: bundle.embedded,
    ...(bundle.carried === undefined ? {} : { carried: bundle.carried }),
  };
}

const headers = (bundle: RecordBundle): Pick<ReportPart, 'headerLeft' | 'headerRight' | 'footerLeft'> => ({
  headerLeft: plain([bundle.title, bundle.owner.printedName].filter(Boolean).join(' · ')),
  headerRight: plain(bundle.course),
  footerLeft: plain(`Bound ${whenText(bundle.createdAt, bundle.offsetMinutes)}`),
});

/** How many of all entries: "none of them is", "2 of them are", "all of them are". */
const howMany = (count: number, all: number): string => {
  if (count === 0) return 'none of them is';
  return count === all ? 'all of them are' : counted(count, 'of them is', 'of them are');
};

const counted = (count: number, one: string, many: string): string =>
  count === 1 ? `one ${one}` : `${count} ${many}`;

function certificate(bundle: RecordBundle): ReportPart {
  const { entries, owner } = bundle;
  const locked = entries.filter(({ entry }) => entry.state === 'countersigned').length;
  const dates = entries
    .map(({ shown }) => shown.content.date)
    .filter((date) => date !== '')
    .toSorted();
  const [first, last] = [dates[0], dates.at(-1)];
  const period =
    first === undefined || last === undefined
      ? ''
      : first === last
        ? dateText(first)
        : `${dateText(first)} to ${dateText(last)}`;
  const bound = whenText(bundle.createdAt, bundle.offsetMinutes);
  const block: Block = {
    kind: 'certificate',
    institution: bundle.institution,
    department: bundle.department,
    title: 'Practical record',
    statement: [
      [
        { text: 'The entries bound here are the practical record of ' },
        { text: owner.printedName, weight: 'bold' },
        {
          text: `, written by the student in the course named above. ${capitalCount(entries.length)}; ${howMany(locked, entries.length)} reviewed, countersigned and locked.`,
        },
      ],
    ],
    facts: [
      { label: 'Student', value: plain(`${owner.printedName} (${owner.initials})`) },
      { label: 'Record', value: plain(bundle.title) },
      { label: 'Course', value: plain(bundle.course) },
      ...(period === '' ? [] : [{ label: 'Period', value: plain(period) }]),
    ],
    stamp: {
      text: bundle.department,
      date: bound.split(',')[0] ?? bound,
      by: bundle.institution,
      ink: 'department',
    },
    signLines: ['Instructor in charge', 'Head of department', 'Date'],
    notes: [
      plain(`Key of the department: ${bundle.departmentFingerprint}`),
      plain(
        `Head of the audit trail when bound: ${fingerprint(bundle.trailHead)}, event ${bundle.trailLength}`,
      ),
      plain(sealNote(bundle)),
      plain(
        'The data that these pages show are embedded in this file. Compare the key with the one the department publishes.',
      ),
    ],
  };
  return { id: 'certificate', bookmark: 'Certificate', ...headers(bundle), blocks: [block] };
}

/** Whether a PDF reader can show that the pages are as they were bound. */
const sealNote = ({ seal, boundBy }: RecordBundle): string =>
  seal === null
    ? `Not sealed: bound by ${boundBy}. Only a copy sealed by the department shows in a PDF reader that its pages are unchanged.`
    : `Sealed by ${seal.name}, certificate ${fingerprint(seal.certificate)}. A PDF reader shows the seal, and any change made since.`;

const capitalCount = (count: number): string =>
  count === 1 ? 'There is one entry' : `There are ${count} entries`;

function index(bundle: RecordBundle): ReportPart {
  const rows = bundle.entries.map(indexRow);
  return {
    id: 'index',
    bookmark: 'Index',
    ...headers(bundle),
    blocks: [
      { kind: 'heading', level: 1, number: '', line: plain('Index') },
      rows.length === 0
        ? {
            kind: 'paragraph',
            line: plain('There are no entries yet.', { tone: 'quiet' }),
            ink: 'print',
            mark: null,
          }
        : { kind: 'index', rows },
    ],
  };
}

/** One or two words each: the column of the index is narrow. */
const shortState: Readonly<Record<EntryState, string>> = {
  draft: 'in work',
  signed: 'signed',
  returned: 'returned',
  countersigned: 'countersigned',
  amending: 'being amended',
  'struck-out': 'struck out',
};

function indexRow(bundle: EntryBundle): IndexRow {
  const { entry, shown, versions } = bundle;
  const signatures = versions.flatMap((version) => version.signatures);
  const reviewer = signatures.findLast(
    (signature) => signature.role === 'instructor' && signature.meaning === 'countersigned',
  );
  const isStruckOut = entry.state === 'struck-out';
  const initials: Run[] = [];
  if (signatures.some((signature) => signature.role === 'student'))
    initials.push({ text: entry.owner.initials, ink: 'student' });
  if (reviewer !== undefined)
    initials.push({ text: `${initials.length > 0 ? '  ' : ''}${reviewer.initials}`, ink: 'instructor' });
  const state: Line = plain(shortState[entry.state], isStruckOut ? { style: 'italic' } : {});
  return {
    part: entryPartId(entry.id),
    number: String(entry.number),
    date: dateText(shown.content.date),
    title: plain(shortened(shown.content.title, 120) || 'without a title'),
    state,
    mark: entry.mark,
    initials,
  };
}
