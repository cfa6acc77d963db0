import type { Cell as TableCell } from '../../reaction/table-types.ts';
import { stageName } from '../../reaction/overall-yield.ts';
import { convert } from '../../quantity/convert.ts';
import { parseEntered } from '../../quantity/entered.ts';
import { formatNumber } from '../../quantity/format.ts';
import { instrumentById } from '../../quantity/instruments.ts';
import type { Entered } from '../../quantity/quantity.ts';
import type { Weighing } from '../../record/content.ts';
import { problemSentence } from '../../wording/index.ts';
import type { SpokenVerdict } from '../../entry/entry-computation.ts';
import type { Block, Cell, Line, SpreadRow } from '../report-document.ts';
import { matterCost } from './matter-cost.ts';
import { attachmentBlocks, commentBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { capital, entered, enteredRange, inked, isGiven, plain, quiet } from '../runs.ts';

export function result(context: ReportContext): Block[] {
  const { content } = context;
  const rows = [...masses(context), ...constants(context)];
  const appearance = content.result.appearance.trim();
  if (appearance !== '') {
    rows.push({
      left: [[plain('Appearance')], []],
      fold: [],
      right: [[inked(appearance, 'student')]],
      deviates: false,
    });
  }
  return [
    ...(rows.length === 0
      ? [
          {
            kind: 'paragraph',
            line: quiet('No result was entered.'),
            ink: 'print',
            mark: null,
          } satisfies Block,
        ]
      : [
          {
            kind: 'spread',
            left: {
              head: 'Expected, published',
              columns: [
                { head: [], align: 'left', share: 82 },
                { head: [], align: 'left', share: 133 },
              ],
            },
            foldHead: 'difference',
            right: { head: 'Found', columns: [{ head: [], align: 'left', share: 190 }] },
            rows,
          } satisfies Block,
        ]),
    ...verdicts(context),
    ...matterCost(context),
    ...deviations(context),
    ...doubts(context),
    ...attachmentBlocks('result', context),
    ...commentBlocks('result', context),
  ];
}

function weighed(weighing: Weighing): Cell {
  if (!isGiven(weighing.mass)) return [];
  const instrument =
    weighing.instrument === null ? '' : (instrumentById(weighing.instrument)?.name ?? weighing.instrument);
  return [
    [
      { text: entered(weighing.mass), ink: 'student', weight: 'bold' },
      ...(instrument === '' ? [] : quiet(`  ${instrument}`)),
    ],
  ];
}

function masses(context: ReportContext): SpreadRow[] {
  const { content, computation, values } = context;
  const { yields, table } = computation;
  const rows: SpreadRow[] = [];
  const planned = values.full(table.planned.theoreticalYield);
  const taken = values.full(yields.theoretical);
  const yes = (text: string | null, words: string): Cell =>
    text === null ? [] : [[{ text: `${text} ` }, ...quiet(words)]];
  if (planned !== null || taken !== null) {
    rows.push({
      left: [[plain('Theoretical yield')], yes(planned, 'from the plan')],
      fold: [],
      right: [yes(taken, 'from what was taken')],
      deviates: false,
    });
  }
  const stage = (name: string, weighing: Weighing, cell: TableCell, expected: Cell): void => {
    const percent = values.full(cell);
    const right = [
      ...weighed(weighing),
      ...(percent === null ? [] : [[{ text: `${percent} ` }, ...quiet('of the theoretical yield')] as Line]),
    ];
    if (right.length === 0 && expected.length === 0) return;
    const isDeviating = computation.deviations.some(
      (one) => one.section === 'result' && one.sentence.includes(name.toLowerCase()),
    );
    rows.push({
      left: [[plain(capital(name))], expected],
      fold: fold(cell, expected.length > 0 ? content.expectedYield : null),
      right: [right.length === 0 ? [quiet('not weighed')] : right],
      deviates: isDeviating,
    });
  };
  stage('Crude yield', content.result.crude, yields.crude, []);
  const expected = isGiven(content.expectedYield) ? [plain(entered(content.expectedYield))] : [];
  stage('Pure yield', content.result.pure, yields.pure, expected);
  const recovery = values.full(yields.recovery);
  if (recovery !== null) {
    rows.push({
      left: [[plain('Recovery')], [quiet('pure of crude')]],
      fold: [],
      right: [[plain(recovery)]],
      deviates: false,
    });
  }
  for (const { stages, overall } of computation.overallYields) {
    const text = values.full(overall);
    if (text === null) continue;
    rows.push({
      left: [
        [plain('Overall yield')],
        [quiet(`${stages.map(stageName).toReversed().join('; ')}; and this entry`)],
      ],
      fold: [],
      right: [[[{ text: `${text} ` }, ...quiet('over the linked entries')]]],
      deviates: false,
    });
  }
  return rows;
}

/** Percentage points between the yield found and the one expected; over 100 % is said as that. */
function fold(cell: TableCell, expected: Entered | null): Line {
  if (cell.state !== 'known') return [];
  if (cell.quantity.value > 100) return plain('over 100\u2009%');
  const read = expected === null ? null : parseEntered(expected, 'fraction', 'expectedYield');
  if (read === null || !read.ok) return [];
  const points = cell.quantity.value - convert(read.value, '%').value;
  const size = Math.abs(points);
  if (size < 0.5) return plain('✓');
  return plain(`${formatNumber(size, size < 10 ? 1 : 2)} points ${points > 0 ? 'above' : 'below'}`);
}

function constants({ content, computation }: ReportContext): SpreadRow[] {
  const { literature, result: found } = content;
  const rows: SpreadRow[] = [];
  const add = (
    name: string,
    published: string,
    source: string,
    own: string,
    note: string,
    verdict: SpokenVerdict | null,
  ): void => {
    if (published === '' && own === '') return;
    rows.push({
      left: [[plain(name)], [plain(published), quiet(source)].filter((line) => line.length > 0)],
      fold:
        verdict === null
          ? []
          : plain({ agrees: '✓', differs: 'differs', open: '', doubtful: 'doubtful' }[verdict.state]),
      right: [
        own === ''
          ? [quiet('not determined')]
          : [[{ text: own, ink: 'student', weight: 'bold' }, ...(note === '' ? [] : quiet(`  ${note}`))]],
      ],
      deviates: verdict?.state === 'differs' || verdict?.state === 'doubtful',
    });
  };
  const { meltingRange, boilingPoint, refractiveIndex } = literature;
  add(
    'Melting range',
    meltingRange === null ? '' : enteredRange(meltingRange.from, meltingRange.to).replace('from ', ''),
    meltingRange?.source ?? '',
    enteredRange(found.meltingRange.from, found.meltingRange.to),
    '',
    computation.melting,
  );
  const at = (pressure: string): string => (pressure === '' ? '' : ` at ${pressure}`);
  add(
    'Boiling range',
    boilingPoint === null ? '' : entered(boilingPoint.value) + at(entered(boilingPoint.pressure)),
    boilingPoint?.source ?? '',
    enteredRange(found.boilingRange.from, found.boilingRange.to),
    at(entered(found.boilingRange.pressure)).trim(),
    computation.boiling,
  );
  add(
    'Refractive index',
    refractiveIndex === null
      ? ''
      : `${entered(refractiveIndex.value)} at ${entered(refractiveIndex.temperature)}`,
    refractiveIndex?.source ?? '',
    entered(found.refractiveIndex.value),
    at(entered(found.refractiveIndex.temperature)).trim(),
    computation.refraction,
  );
  return rows;
}

/** What the physical constants say, in the careful words of the evaluation. */
function verdicts({ values }: ReportContext): Block[] {
  const words = ['melting-text', 'boiling-text', 'refraction-text']
    .map((id) => values.sentence(id))
    .filter((text) => text !== '');
  return words.map((text) => ({ kind: 'paragraph', line: plain(capital(text)), ink: 'print', mark: null }));
}

/** Every deviation in one place, largest first; an assessor should not have to look for them. */
function deviations({ computation }: ReportContext): Block[] {
  if (computation.deviations.length === 0) return [];
  return [
    { kind: 'heading', level: 3, number: '', line: plain('Where it differs from the plan') },
    {
      kind: 'list',
      columns: 1,
      ink: 'print',
      mark: null,
      items: computation.deviations.map((one) => [
        ...plain(capital(one.sentence)),
        ...quiet(one.isExplained ? '  explained' : '  not explained'),
      ]),
    },
  ];
}

/** What the program questions. It asks; it does not hide or correct. */
function doubts({ computation, content }: ReportContext): Block[] {
  const rows = new Set(content.rows.map((row) => `rows.${row.id}`));
  const said = computation.doubts
    // The rows' own problems stand under the reagent table, deviations in the list above.
    .filter((problem) => problem.code !== 'deviation-unexplained' && problem.code !== 'yield-over-100')
    .filter((problem) => ![...rows].some((path) => problem.where.startsWith(path)))
    .map((problem) => capital(problemSentence(problem)));
  const unique = [...new Set(said)];
  return unique.length === 0
    ? []
    : [{ kind: 'notice', title: 'Open questions', line: plain(unique.join('\n')) }];
}
