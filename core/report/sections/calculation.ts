import type { CalculationField } from '../../calculations/calculation.ts';
import type { ComputedWorksheet } from '../../entry/entry-computation.ts';
import type { SnapshotLine } from '../../record/objects.ts';
import type { Entered } from '../../quantity/quantity.ts';
import type { WorksheetInput } from '../../record/content.ts';
import type { Working } from '../../workings/working.ts';
import { problemSentence } from '../../wording/index.ts';
import type { Block, Fact, Line } from '../report-document.ts';
import { attachmentBlocks, commentBlocks, textBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { capital, entered, equality, formula, inked, joined, marked, plain, quiet } from '../runs.ts';
import { valueText } from '../printed-values.ts';

/** The number of lines that show the arithmetic: formula, with values, result. */
const arithmetic = 3;

export function calculation(context: ReportContext): Block[] {
  const { content, computation, values } = context;
  const argument = argumentOf(context);
  const main = argument.map((id) => values.line(id)).filter((line) => line !== undefined);
  const shown = new Set(argument);
  const rest = onceEach(
    values.lines.filter(
      (line) => line.lines.length > 0 && !shown.has(line.id) && !line.id.startsWith('worksheet:'),
    ),
  );
  const changed = values.changed.length;
  const sources = new Sources();
  return [
    ...textBlocks(content.calculation, 'student', context),
    ...(main.length === 0 && computation.worksheets.length === 0 && content.calculation.trim() === ''
      ? [
          {
            kind: 'paragraph',
            line: quiet('Nothing could be worked out yet.'),
            ink: 'print',
            mark: null,
          } satisfies Block,
        ]
      : []),
    ...molarMasses(
      main.filter((line) => isMolarMass(line.id)),
      sources,
    ),
    ...main.filter((line) => !isMolarMass(line.id)).map((line) => workingBlock(line, sources)),
    ...computation.worksheets.flatMap((one) => worksheet(one, context, sources)),
    ...sourceList(sources),
    ...others(rest),
    ...(changed === 0
      ? []
      : [
          {
            kind: 'notice',
            title: 'Printed as signed',
            line: plain(
              `${changed === 1 ? 'One value' : `${changed} values`} would come out otherwise with the rules and constants of today. They are printed as they stood when this version was signed (${values.engine}).`,
            ),
          } satisfies Block,
        ]),
    ...attachmentBlocks('calculation', context),
    ...commentBlocks('calculation', context),
  ];
}

/** The mass of the product row is the theoretical yield: the same working under two ids is printed once. */
function onceEach(lines: readonly SnapshotLine[]): readonly SnapshotLine[] {
  const seen = new Set<string>();
  return lines.filter((line) => {
    const key = JSON.stringify([line.title, line.value, line.unit, line.lines[1]]);
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

const isMolarMass = (id: string): boolean => id.startsWith('molar-mass:');

/**
 * Ids of the workings that the result rests on, grounds before what rests on them: limiting reagent,
 * theoretical yield, yields, physical constants. Everything else is listed after them in short.
 */
function argumentOf({ computation }: ReportContext): readonly string[] {
  const { table, yields, overallYields } = computation;
  const side = table.taken.limiting.state === 'found' ? table.taken : table.planned;
  const byId = new Map(computation.workings.map((working) => [working.id, working]));
  const reached = new Set<string>();
  const reach = (working: Working | null | undefined): void => {
    if (working === null || working === undefined || reached.has(working.id)) return;
    reached.add(working.id);
    for (const { source } of working.terms) if (source.kind === 'working') reach(byId.get(source.id));
  };
  if (side.limiting.state === 'found') reach(side.limiting.working);
  const cells = [
    side.theoreticalYield,
    side.theoreticalYieldIfOther,
    yields.crude,
    yields.pure,
    yields.pureIfOther,
    yields.recovery,
    ...overallYields.map(({ overall }) => overall),
  ];
  for (const cell of cells) if (cell.state === 'known') reach(cell.working);
  for (const verdict of [computation.melting, computation.boiling, computation.refraction]) {
    for (const working of verdict?.workings ?? []) reach(working);
  }
  return computation.calculation.map((working) => working.id).filter((id) => reached.has(id));
}

/** Sources of a section's workings, each said once and referred to by its number. */
class Sources {
  readonly list: string[] = [];

  number(source: string): number {
    const known = this.list.indexOf(source);
    if (known >= 0) return known + 1;
    return this.list.push(source);
  }
}

const sourceLine = /^(?:Formula|Values): /;
const spreadWords = '± is the standard uncertainty (k = 1). ';
const roundingWords = 'Rounded once, here, ';

/**
 * A frozen or computed working. The lines of a snapshot are formula, values, result, rounding, then one
 * for each symbol, then sources and uncertainty (`workingLines`): here the values run on to the result,
 * and what explains them becomes running text.
 */
function workingBlock(line: SnapshotLine, sources: Sources): Block {
  const [display = '', substituted = '', result = ''] = line.lines;
  const [rounding = '', ...rest] = line.lines.slice(arithmetic);
  const from = rest
    .filter((text) => sourceLine.test(text))
    .map((text) => sources.number(text.replace(sourceLine, '')));
  const words = rest.filter((text) => !sourceLine.test(text));
  const terms = words.filter(isTerm);
  const others = words
    .filter((text) => !isTerm(text))
    .map((text) => (text.startsWith(spreadWords) ? text.slice(spreadWords.length) : text));
  const rounded = rounding.startsWith(roundingWords)
    ? `Rounded ${rounding.slice(roundingWords.length)}`
    : rounding;
  return {
    kind: 'working',
    title: [
      ...plain(line.title),
      ...plain(from.length === 0 ? '' : `\u2009${from.join(',')}`, { tone: 'quiet' }).map((run) => ({
        ...run,
        script: 'super' as const,
      })),
    ],
    lines: [
      formula(display),
      [
        ...equality(substituted),
        ...plain(' = '),
        ...marked(noBreak(result.slice(result.indexOf(' = ') + 3)), { weight: 'bold' }),
      ],
    ],
    notes: [
      joined(
        terms.map((text) => equality(text)),
        '; ',
      ),
      marked([...others, rounded].filter((text) => text !== '').join(' ')),
    ].filter((note) => note.length > 0),
  };
}

/** `M = 138.122 g/mol, u = 0.008 g/mol: molar mass (from: …)` */
const isTerm = (text: string): boolean => /^\S+(?: \S+)? = [^:]*: /u.test(text) && !text.startsWith('±');

function sourceList(sources: Sources): Block[] {
  if (sources.list.length === 0) return [];
  const numbered = sources.list.flatMap((source, index): Line => [
    { text: ` ${index + 1}\u2009`, weight: 'bold' },
    { text: `${source}${index + 1 < sources.list.length ? ';' : '.'}` },
  ]);
  return [
    {
      kind: 'small-print',
      line: [
        {
          text: 'Each value is carried on unrounded. ± is the standard uncertainty (k = 1), u that of a value put in. ',
        },
        { text: 'Sources:' },
        ...numbered,
      ],
    },
  ];
}

/** The molar masses that the argument needs, one line each. */
function molarMasses(lines: readonly SnapshotLine[], sources: Sources): Block[] {
  if (lines.length === 0) return [];
  const cited = lines.flatMap((line) =>
    line.lines
      .filter((text) => sourceLine.test(text))
      .map((text) => sources.number(text.replace(sourceLine, ''))),
  );
  const numbers = [...new Set(cited)].join(',');
  return [
    {
      kind: 'table',
      density: 'compact',
      caption: null,
      columns: [
        {
          head: [...plain('Molar masses'), { text: `\u2009${numbers}`, script: 'super' }],
          align: 'left',
          share: 132,
        },
        { head: plain('Worked out'), align: 'left', share: 228 },
        { head: plain('Result'), align: 'right', share: 105 },
      ],
      rows: lines.map((line) => [
        [plain(line.title)],
        [equality(line.lines[1] ?? '')],
        [marked(noBreak(valueText(line)), { weight: 'bold' })],
      ]),
    },
  ];
}

/** A value that is not parted at a line end. */
const noBreak = (text: string): string => text.replace(/ /g, '\u00a0');

/** What else was computed: the cells of the tables, in the space of two lines each. */
function others(lines: readonly SnapshotLine[]): Block[] {
  if (lines.length === 0) return [];
  return [
    { kind: 'heading', level: 3, number: '', line: plain('The other computed values') },
    {
      kind: 'table',
      density: 'compact',
      caption: null,
      columns: [
        { head: plain('Value'), align: 'left', share: 172 },
        { head: plain('Worked out'), align: 'left', share: 203 },
        { head: plain('Result'), align: 'right', share: 90 },
      ],
      rows: lines.map((line) => [
        [plain(line.title)],
        [equality(line.lines[1] ?? line.lines[0] ?? '')],
        [marked(valueText(line))],
      ]),
    },
  ];
}

/** How a sentence is meant; a result speaks for itself. */
const toneWords = { result: '', advice: 'Advice: ', caution: 'Caution: ', doubt: 'Doubt: ' } as const;

/** A calculation beside the table: what was put in, each answer worked out, what it means. */
function worksheet(
  { worksheet: sheet, calculation: known, outcome }: ComputedWorksheet,
  { values }: ReportContext,
  sources: Sources,
): Block[] {
  const title = known?.title ?? `Calculation “${sheet.calculation}”, which this program does not know`;
  const facts =
    known === null ? [] : known.fields.flatMap((field) => inputFacts(field, sheet.inputs[field.key]));
  const lines = values.lines.filter((line) => line.id.startsWith(`worksheet:${sheet.id}:`));
  const says = (outcome?.statements ?? []).map((one) => `${toneWords[one.tone]}${one.text}`);
  const missing = (outcome?.problems ?? []).map((problem) => capital(problemSentence(problem)));
  return [
    { kind: 'heading', level: 3, number: '', line: plain(title) },
    ...(sheet.remark.trim() === ''
      ? []
      : [
          {
            kind: 'paragraph',
            line: inked(sheet.remark, 'student'),
            ink: 'student',
            mark: null,
          } satisfies Block,
        ]),
    ...(facts.length === 0 ? [] : [{ kind: 'facts', facts } satisfies Block]),
    ...lines.map((line) => workingBlock(line, sources)),
    ...(says.length === 0
      ? []
      : [{ kind: 'notice', title: '', line: plain(says.join('\n')) } satisfies Block]),
    ...(missing.length === 0
      ? []
      : [{ kind: 'notice', title: 'Not worked out', line: plain(missing.join('\n')) } satisfies Block]),
  ];
}

const isEntered = (input: WorksheetInput | undefined): input is Entered =>
  typeof input === 'object' && !Array.isArray(input);

function inputFacts(field: CalculationField, input: WorksheetInput | undefined): Fact[] {
  const fact = (value: Line): Fact[] => (value.length === 0 ? [] : [{ label: field.label, value }]);
  switch (field.kind) {
    case 'quantity':
      return isEntered(input) ? fact(inked(entered(input), 'student')) : [];
    case 'choice': {
      const chosen = field.options.find((option) => option.key === input);
      return fact(inked(chosen?.label ?? '', 'student'));
    }
    case 'formula':
      return typeof input === 'string' ? fact(inked(input, 'student')) : [];
    case 'series': {
      if (!Array.isArray(input)) return [];
      const rows = (input as readonly Readonly<Record<string, Entered | string>>[]).map((row) =>
        field.columns
          .map((column) => row[column.key])
          .map((cell) => (typeof cell === 'string' ? cell : cell === undefined ? '' : entered(cell)))
          .join(' / '),
      );
      return fact(inked(rows.join('; '), 'student'));
    }
  }
}
