import { fingerprint } from '../record/fingerprint.ts';
import { stateLabel } from '../record/trail.ts';
import { dateText, whenText } from '../record/when.ts';
import { templateById } from '../templates/index.ts';
import type { EntryBundle } from './bundle.ts';
import { reportContext, sectionTitle } from './report-context.ts';
import type { ReportContext } from './report-context.ts';
import type { Block, Fact, Figure, Line, ReportDocument, ReportPart, Stamp } from './report-document.ts';
import { enteredRange, entered, plain, shortened } from './runs.ts';
import { calculation } from './sections/calculation.ts';
import { discussion, signatures, trail, versions } from './sections/closing.ts';
import { hazards } from './sections/hazards.ts';
import { observations } from './sections/observations.ts';
import { aim, principle, requirements } from './sections/opening.ts';
import { procedure } from './sections/procedure.ts';
import { reagents } from './sections/reagents.ts';
import { result } from './sections/result.ts';

/**
 * One entry as a report: every heading of the trade in order, signatures, versions, audit trail.
 *
 * A signed version shows its values as they were signed; see `PrintedValues`.
 */
export function entryReport(bundle: EntryBundle): ReportDocument {
  const title = bundle.shown.content.title.trim() || 'Entry without a title';
  return {
    title: `Entry ${bundle.entry.number}: ${title}`,
    author: bundle.entry.owner.printedName,
    subject: [bundle.entry.recordTitle, bundle.entry.course].filter(Boolean).join(', '),
    keywords: 'practical record; preparation',
    language: 'en-GB',
    createdAt: bundle.createdAt,
    parts: [entryPart(bundle)],
    embedded: bundle.embedded,
    ...(bundle.carried === undefined ? {} : { carried: bundle.carried }),
  };
}

/** Id of an entry's part: what a line of the index leads to. */
export const entryPartId = (entryId: string): string => `entry:${entryId}`;

/** The pages of one entry, for a report of its own or within a bound record. */
export function entryPart(bundle: EntryBundle): ReportPart {
  const context = reportContext(bundle);
  const { content } = context;
  const title = shortened(content.title, 90) || 'without a title';
  return {
    id: entryPartId(bundle.entry.id),
    bookmark: `${bundle.entry.number}  ${title}`,
    headerLeft: plain([bundle.entry.recordTitle, bundle.entry.owner.printedName].filter(Boolean).join(' · ')),
    headerRight: plain(`Entry ${bundle.entry.number} · ${title}`),
    footerLeft: footer(context),
    blocks: [
      titleBlock(context),
      ...strikeOut(context),
      ...numbered(context),
      heading('', 'Signatures'),
      ...signatures(context),
      ...headed('Versions', versions(context)),
      ...headed('Audit trail', trail(context)),
    ],
  };
}

const heading = (number: string, words: string): Block => ({
  kind: 'heading',
  level: 2,
  number,
  line: plain(words),
});
const headed = (words: string, blocks: readonly Block[]): Block[] =>
  blocks.length === 0 ? [] : [heading('', words), ...blocks];

function numbered(context: ReportContext): Block[] {
  const parts = [
    ['aim', aim],
    ['principle', principle],
    ['requirements', requirements],
    ['hazards', hazards],
    ['reagents', reagents],
    ['procedure', procedure],
    ['observations', observations],
    ['calculation', calculation],
    ['result', result],
    ['discussion', discussion],
  ] as const;
  return parts.flatMap(([section, write], index) => [
    heading(String(index + 1), sectionTitle[section]),
    ...write(context),
  ]);
}

const shownHash = ({ bundle }: ReportContext): string | null =>
  bundle.versions.find((version) => version.n === bundle.shown.n)?.hash ?? null;

function footer(context: ReportContext): Line {
  const { bundle } = context;
  const hash = shownHash(context);
  if (hash === null) return plain(`Draft, not signed · ${whenText(bundle.createdAt, bundle.offsetMinutes)}`);
  return plain(
    `Version ${bundle.shown.n ?? ''}, ${stateLabel[bundle.entry.state]} · fingerprint ${fingerprint(hash)}`,
  );
}

function titleBlock(context: ReportContext): Block {
  const { bundle, content } = context;
  const hash = shownHash(context);
  return {
    kind: 'title',
    eyebrow: [
      { text: `Entry ${bundle.entry.number}`, weight: 'bold' },
      { text: `   ${[bundle.institution, bundle.entry.course].filter(Boolean).join(' · ')}`, tone: 'quiet' },
    ],
    title: plain(content.title.trim() || 'Without a title'),
    facts: facts(context),
    stamp: stamp(context),
    fingerprint: hash === null ? null : { short: fingerprint(hash), full: hash },
    figures: figures(context),
  };
}

function facts(context: ReportContext): Fact[] {
  const { bundle, content } = context;
  const { owner } = bundle.entry;
  const count = bundle.versions.length;
  const reviewer = lastSignature(context, 'instructor');
  const template =
    content.template === null ? null : (templateById(content.template.id)?.title ?? content.template.id);
  return [
    { label: 'Student', value: plain(`${owner.printedName} (${owner.initials})`) },
    { label: 'Practical', value: plain(dateText(content.date)) },
    { label: 'Record', value: plain(bundle.entry.recordTitle) },
    ...(reviewer === null
      ? []
      : [{ label: 'Instructor', value: plain(`${reviewer.printedName} (${reviewer.initials})`) }]),
    { label: 'Version', value: plain(bundle.shown.n === null ? 'draft' : `${bundle.shown.n} of ${count}`) },
    ...(template === null
      ? []
      : [{ label: 'Template', value: plain(`${template}, version ${content.template?.version ?? ''}`) }]),
  ];
}

function lastSignature({ bundle }: ReportContext, role: 'student' | 'instructor') {
  const all = bundle.versions.flatMap((version) => version.signatures);
  return all.findLast((signature) => signature.role === role) ?? null;
}

function stamp(context: ReportContext): Stamp {
  const { bundle } = context;
  const { state, mark } = bundle.entry;
  const by = lastSignature(context, state === 'signed' || state === 'amending' ? 'student' : 'instructor');
  const day = by === null ? '' : (whenText(by.signedAt, by.offsetMinutes).split(',')[0] ?? '');
  const initials = by?.initials ?? '';
  switch (state) {
    case 'draft':
      return { text: 'Draft', date: 'not signed', by: '', ink: 'print' };
    case 'signed':
      return { text: 'Signed', date: day, by: initials, ink: 'student' };
    case 'returned':
      return { text: 'Returned', date: day, by: initials, ink: 'instructor' };
    case 'countersigned':
      return {
        text: 'Countersigned',
        date: day,
        by: [initials, mark === '' ? '' : `mark ${mark}`].filter(Boolean).join(', '),
        ink: 'instructor',
      };
    case 'amending':
      return { text: 'Being amended', date: '', by: '', ink: 'student' };
    case 'struck-out':
      return { text: 'Struck out', date: '', by: '', ink: 'print' };
  }
}

/** The answers, for whoever looks at the first page only. */
function figures({ content, computation, values }: ReportContext): Figure[] {
  const list: Figure[] = [];
  const { taken, planned } = computation.table;
  const side = taken.limiting.state === 'found' ? taken : planned;
  if (side.limiting.state === 'found') {
    const id = side.limiting.rowId;
    const name = content.rows.find((row) => row.id === id)?.name ?? '';
    list.push({
      label: 'Limiting reagent',
      value: plain(shortened(name, 40)),
      note: side.limiting.isCertain ? [] : plain('not for certain'),
    });
  }
  const theoretical = values.full(side.theoreticalYield);
  if (theoretical !== null) {
    list.push({
      label: 'Theoretical yield',
      value: plain(withoutSpread(theoretical)),
      note: plain(side === taken ? 'from what was taken' : 'from the plan'),
    });
  }
  const percent = values.full(computation.yields.pure) ?? values.full(computation.yields.crude);
  if (percent !== null) {
    const isPure = values.full(computation.yields.pure) !== null;
    const mass = entered(isPure ? content.result.pure.mass : content.result.crude.mass);
    list.push({ label: isPure ? 'Pure yield' : 'Crude yield', value: plain(mass), note: plain(percent) });
  }
  const { meltingRange, boilingRange } = content.result;
  const melting = enteredRange(meltingRange.from, meltingRange.to);
  const boiling = enteredRange(boilingRange.from, boilingRange.to);
  const verdictNote = (state: string | undefined): Line =>
    plain(
      state === 'agrees'
        ? 'agrees with the published'
        : state === 'differs'
          ? 'differs from the published'
          : '',
    );
  if (melting !== '')
    list.push({
      label: 'Melting range',
      value: plain(melting),
      note: verdictNote(computation.melting?.state),
    });
  else if (boiling !== '')
    list.push({
      label: 'Boiling range',
      value: plain(boiling),
      note: verdictNote(computation.boiling?.state),
    });
  const open = computation.deviations.filter((one) => !one.isExplained).length;
  if (computation.steps.some((step) => step.state !== 'open')) {
    const count = computation.deviations.length;
    list.push({
      label: 'Deviations',
      value: plain(String(count)),
      note: count === 0 ? [] : plain(open === 0 ? 'all explained' : `${open} not explained`),
    });
  }
  return list;
}

/** `2.61 ± 0.01 g` → `2.61 g`: the strip has room for the value; the calculation has both. */
const withoutSpread = (text: string): string => text.replace(/ ± [\d.]+/, '');

function strikeOut({ bundle }: ReportContext): Block[] {
  const { strikeOutReason, amendmentReason, state } = bundle.entry;
  if (state === 'struck-out') {
    return [
      {
        kind: 'notice',
        title: 'Struck out',
        line: plain(
          `This entry was struck out and stays readable. Reason: ${strikeOutReason ?? 'not given'}`,
        ),
      },
    ];
  }
  if (state === 'amending') {
    return [
      {
        kind: 'notice',
        title: 'Being amended',
        line: plain(
          `The signed version is printed here; an amendment has been begun. Reason: ${amendmentReason ?? 'not given'}`,
        ),
      },
    ];
  }
  return [];
}
