import { checkDateAgainstTimes } from '../procedure/check-date.ts';
import { checkTimes } from '../procedure/check-times.ts';
import { parseEntered } from '../quantity/entered.ts';
import { convert } from '../quantity/convert.ts';
import { formatQuantity } from '../quantity/format.ts';
import { stageName } from '../reaction/overall-yield.ts';
import { rowPath, rowProblem } from '../reaction/place.ts';
import type { ReagentTable } from '../reaction/table-types.ts';
import type { EntryContent, Section } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { problemSentence } from '../wording/index.ts';
import { probabilityText } from '../reaction/limiting-reagent.ts';
import { nameOf } from './say.ts';
import type { EntryComputation } from './entry-computation.ts';

type Parts = Pick<
  EntryComputation,
  'table' | 'yields' | 'melting' | 'boiling' | 'refraction' | 'steps' | 'session' | 'worksheets'
>;

/** Reagents of the equation of which too little was there. */
function shortReagents(content: EntryContent, table: ReagentTable): Problem[] {
  const side = table.taken.limiting.state === 'found' ? 'taken' : 'planned';
  return content.rows.flatMap((row, index) => {
    const computed = table.rows[index];
    const cell = computed?.[side].equivalents;
    if (row.role !== 'reagent' || computed?.coefficient === null || cell?.state !== 'known') return [];
    if (cell.quantity.value >= 0.995) return [];
    const equivalents = formatQuantity({ ...cell.quantity, unit: '1' }).text;
    return [rowProblem(row, side, 'reagent-short', { equivalents, side })];
  });
}

/** More of an earlier entry's product than that entry gave. */
function overdrawn(content: EntryContent, table: ReagentTable): Problem[] {
  return content.rows.flatMap((row, index) => {
    const { origin } = row;
    if (origin === null || origin.mass === null) return [];
    const given = parseEntered(origin.mass, 'mass', rowPath(row.id, 'origin.mass'));
    const computed = table.rows[index];
    const side = computed?.taken.mass.state === 'known' ? 'taken' : 'planned';
    const cell = computed?.[side].mass;
    if (!given.ok || cell?.state !== 'known') return [];
    const grams = convert(given.value, 'g').value;
    if (!(convert(cell.quantity, 'g').value > grams * (1 + 1e-9))) return [];
    const facts = {
      side,
      taken: formatQuantity(cell.quantity).text,
      mass: formatQuantity(given.value).text,
      entry: stageName(origin),
    };
    return [rowProblem(row, side, 'origin-overdrawn', facts)];
  });
}

function uncertainLimit(content: EntryContent, table: ReagentTable): Problem[] {
  const name = table.taken.limiting.state === 'found' ? 'taken' : 'planned';
  const { limiting, theoreticalYield, theoreticalYieldIfOther } = table[name];
  if (limiting.state !== 'found' || limiting.isCertain || limiting.runnerUp === null) return [];
  if (theoreticalYield.state !== 'known' || theoreticalYieldIfOther.state !== 'known') return [];
  const { rowId, probability, margin } = limiting.runnerUp;
  const yieldText = formatQuantity(theoreticalYield.quantity).text;
  const facts = {
    name: nameOf(content.rows, limiting.rowId),
    other: nameOf(content.rows, rowId),
    probability: probability === null ? 'unknown size' : probabilityText(probability),
    yield: yieldText,
    // In the exact ratio there is one yield; the two may still have been typed with different figures.
    otherYield: margin === 0 ? yieldText : formatQuantity(theoreticalYieldIfOther.quantity).text,
  };
  return [{ code: 'limiting-uncertain', where: `rows.${limiting.rowId}.${name}`, facts }];
}

const unexplained = (parts: Parts): Problem[] =>
  parts.steps
    .filter((step) => !step.isExplained)
    .map((step) => ({
      code: 'deviation-unexplained',
      where: `stepRecords.${step.stepId}.deviation`,
      facts: { step: step.number, what: step.exceedances.map((one) => one.sentence).join(', ') },
    }));

/** Only what cannot be right; a wide melting range is a finding, not a doubt about the record. */
const doubtfulVerdicts = (parts: Parts): Problem[] =>
  [parts.melting, parts.boiling, parts.refraction].flatMap((verdict) =>
    verdict?.state === 'doubtful' ? verdict.findings : [],
  );

/** Not written yet, which is no fault. */
const blankCodes: ReadonlySet<string> = new Set(['field-missing', 'choice-missing', 'series-too-short']);

/** A calculation that is not finished is told once; a fault in one names the calculation. */
function worksheetDoubts(parts: Parts): Problem[] {
  return parts.worksheets.flatMap(({ worksheet, calculation, outcome }) => {
    const where = `worksheets.${worksheet.id}`;
    if (calculation === null) {
      return [{ code: 'worksheet-unknown', where, facts: { calculation: worksheet.calculation } }];
    }
    const problems = outcome?.problems ?? [];
    const blank = problems.filter(({ code }) => blankCodes.has(code));
    return [
      ...(blank.length === 0
        ? []
        : [{ code: 'worksheet-unfinished', where, facts: { calculation: calculation.title } }]),
      ...problems
        .filter(({ code }) => !blankCodes.has(code))
        .map((problem) => ({
          code: 'worksheet-fault',
          where: `${where}.${problem.where}`,
          facts: { calculation: calculation.title, says: problemSentence(problem) },
        })),
    ];
  });
}

function expectedYieldDoubt({ expectedYield }: EntryContent): Problem[] {
  if (expectedYield === null || expectedYield.text.trim() === '') return [];
  const parsed = parseEntered(expectedYield, 'fraction', 'expectedYield');
  return parsed.ok ? [] : [parsed.error];
}

/** An entry not yet begun is not scolded for having no equation. */
const isBegun = (content: EntryContent): boolean => content.rows.length > 0 || content.equation.trim() !== '';

/**
 * What a reader would question: faults in the table, an uncertain limiting reagent, limits exceeded
 * without a word, yields over 100 %, ranges the wrong way round, times that cannot be. Blank headings
 * are apart, in `blankSections`; what needs the present is asked of those who have a clock: `checkTimes(content, now)`,
 * `checkDate(content.date, today)`.
 */
export function findDoubts(content: EntryContent, parts: Parts): readonly Problem[] {
  const hasResult = parts.yields.crude.state === 'blocked' || parts.yields.pure.state === 'blocked';
  const blockers = hasResult
    ? [parts.yields.crude, parts.yields.pure].flatMap((cell) =>
        cell.state === 'blocked' ? cell.problems : [],
      )
    : [];
  const all = [
    ...(isBegun(content) ? parts.table.problems : []),
    ...parts.table.rows.flatMap((row) => row.problems),
    ...uncertainLimit(content, parts.table),
    ...shortReagents(content, parts.table),
    ...overdrawn(content, parts.table),
    ...checkTimes(content, null),
    ...[checkDateAgainstTimes(content)].filter((one) => one !== null),
    ...parts.steps.flatMap((step) => step.problems),
    ...parts.session.problems,
    ...unexplained(parts),
    ...parts.yields.problems,
    ...blockers,
    ...parts.yields.excesses,
    ...doubtfulVerdicts(parts),
    ...worksheetDoubts(parts),
    ...expectedYieldDoubt(content),
  ];
  const seen = new Set<string>();
  return all.filter(({ code, where }) => {
    const key = `${code} ${where}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

const headings: readonly (readonly [Section, (content: EntryContent) => boolean])[] = [
  ['aim', ({ aim }) => aim.trim() === ''],
  ['principle', ({ principle, equation }) => principle.trim() === '' && equation.trim() === ''],
  ['requirements', ({ requirements }) => requirements.every((one) => one.trim() === '')],
  ['hazards', ({ hazards, precautions }) => hazards.length === 0 && precautions.trim() === ''],
  ['reagents', ({ rows }) => rows.length === 0],
  ['procedure', ({ steps }) => steps.length === 0],
  [
    'observations',
    ({ stepRecords, notes }) =>
      stepRecords.every(({ seen, readings }) => seen.trim() === '' && readings.length === 0) &&
      notes.every(({ text }) => text.trim() === ''),
  ],
  [
    'result',
    ({ result }) =>
      result.crude.mass === null &&
      result.pure.mass === null &&
      result.meltingRange.from === null &&
      result.boilingRange.from === null &&
      result.appearance.trim() === '',
  ],
  ['discussion', ({ discussion }) => discussion.trim() === ''],
];

/** Headings under which nothing is written. The calculation is worked out by the program and never blank. */
export const blankSections = (content: EntryContent): readonly Problem[] =>
  headings
    .filter(([, isEmpty]) => isEmpty(content))
    .map(([section]) => ({ code: 'section-blank', where: section, facts: { section } }));
