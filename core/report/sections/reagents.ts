import { formulaMarkup } from '../../formula/formula-markup.ts';
import { instrumentById } from '../../quantity/instruments.ts';
import { fieldOfRow } from '../../reaction/place.ts';
import type {
  Cell as TableCell,
  ComputedRow,
  Measure,
  ReagentRow,
  RowSide,
} from '../../reaction/table-types.ts';
import { dropText, originText, roleText, strengthText } from '../../record/content-text.ts';
import { problemSentence } from '../../wording/index.ts';
import type { Block, Cell, Column, Line, SpreadRow } from '../report-document.ts';
import { attachmentBlocks, commentBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { capital, entered, inked, joined, marked, plain, quiet } from '../runs.ts';

const sideColumns: readonly Column[] = [
  { head: plain('Measured'), align: 'decimal', share: 56 },
  { head: plain('Amount'), align: 'decimal', share: 64 },
  { head: plain('Equiv.'), align: 'decimal', share: 34 },
];
const dash: Cell = [quiet('–')];

export function reagents(context: ReportContext): Block[] {
  const { content } = context;
  const instruments = new Instruments();
  return [
    ...(content.rows.length === 0
      ? [
          {
            kind: 'paragraph',
            line: quiet('No reagents are listed.'),
            ink: 'print',
            mark: null,
          } satisfies Block,
        ]
      : [table(context, instruments), ...instruments.block()]),
    ...limiting(context),
    ...problems(context),
    ...attachmentBlocks('reagents', context),
    ...commentBlocks('reagents', context),
  ];
}

/** What was measured with: named once under the table, referred to by a letter. */
class Instruments {
  private readonly ids: string[] = [];

  letter(id: string): string {
    const known = this.ids.indexOf(id);
    return String.fromCodePoint(97 + ((known >= 0 ? known : this.ids.push(id) - 1) % 26));
  }

  block(): Block[] {
    if (this.ids.length === 0) return [];
    const named = this.ids.map((id): Line => [
      { text: this.letter(id), weight: 'bold' },
      { text: `\u2009 ${instrumentById(id)?.name ?? id}` },
    ]);
    return [{ kind: 'small-print', line: [{ text: 'Measured with: ' }, ...joined(named, '; ')] }];
  }
}

function table(context: ReportContext, instruments: Instruments): Block {
  const { content, computation } = context;
  return {
    kind: 'spread',
    left: {
      head: 'Planned',
      columns: [{ head: plain('Substance'), align: 'left', share: 108 }, ...sideColumns],
    },
    foldHead: 'difference',
    right: { head: 'Taken', columns: sideColumns },
    rows: content.rows.map((row, index): SpreadRow => {
      const computed = computation.table.rows[index];
      const difference = computed === undefined ? null : context.values.cell(computed.difference);
      const isDeviating = computation.deviations.some(
        (one) => one.section === 'reagents' && one.anchor === row.id,
      );
      return {
        left: [
          substance(row, computed, context),
          ...side(row, computed?.planned, 'planned', context, instruments),
        ],
        fold: difference === null ? [] : plain(signed(difference)),
        right: side(row, computed?.taken, 'taken', context, instruments),
        deviates: isDeviating,
      };
    }),
  };
}

const signed = (text: string): string => (/^[\d.]*[1-9]/.test(text) ? `+${text}` : text);

/** Name, what it is and how it comes out of its bottle; the student's remark in ink. */
function substance(row: ReagentRow, computed: ComputedRow | undefined, context: ReportContext): Cell {
  const molarMass = computed === undefined ? null : context.values.cell(computed.molarMass);
  const limits = isLimiting(row.id, context) ? [quiet('limiting')] : [];
  const supply = supplyLine(row);
  const lines: Line[] = [
    [{ text: row.name === '' ? 'unnamed' : row.name, weight: 'bold' }],
    joined(
      [marked(formulaMarkup(row.formula), { tone: 'quiet' }), molarMass === null ? [] : quiet(molarMass)],
      ' · ',
    ),
    joined([quiet(roleText[row.role]), ...limits, ...(supply === '' ? [] : [quiet(supply)])], ' · '),
    ...(row.valuesFrom === undefined ? [] : [quiet(`values: ${row.valuesFrom}`)]),
    ...(row.origin === null ? [] : [quiet(`made in ${originText(row.origin)}`)]),
    ...(row.remark.trim() === '' ? [] : [inked(row.remark, 'student')]),
  ];
  return lines.filter((line) => line.length > 0);
}

function isLimiting(rowId: string, { computation }: ReportContext): boolean {
  const { taken, planned } = computation.table;
  const verdict = taken.limiting.state === 'found' ? taken.limiting : planned.limiting;
  return verdict.state === 'found' && verdict.rowId === rowId;
}

function supplyLine({ supply }: ReagentRow): string {
  const part = (words: string, value: string): string => (value === '' ? '' : `${words}${value}`);
  const list = (parts: readonly string[]): string => parts.filter((one) => one !== '').join(' · ');
  switch (supply.kind) {
    case 'solid':
      return part('assay ', entered(supply.assay));
    case 'neat-liquid':
      return list([
        entered(supply.density) +
          (entered(supply.densityTemperature) === '' || entered(supply.density) === ''
            ? ''
            : ` at ${entered(supply.densityTemperature)}`),
        part('assay ', entered(supply.assay)),
      ]);
    case 'solution':
      return strengthText(supply.strength);
    case 'gas':
      return list([part('gas at ', entered(supply.temperature)), entered(supply.pressure)]);
  }
}

/** Measured (as typed first, then what follows from it), amount, equivalents. */
function side(
  row: ReagentRow,
  computed: RowSide | undefined,
  which: 'planned' | 'taken',
  context: ReportContext,
  instruments: Instruments,
): Cell[] {
  if (computed === undefined) return [dash, dash, dash];
  return [
    measured(row[which], computed, which, context, instruments),
    one(computed.amount, row[which], context),
    one(computed.equivalents, row[which], context),
  ];
}

function one(cell: TableCell, measure: Measure | null, { values }: ReportContext): Cell {
  const text = values.cell(cell, cell.state === 'known' && cell.isEntered ? measure : null);
  if (text === null) return cell.state === 'blocked' ? [quiet('?')] : dash;
  return [plain(text.replace(/\u2009eq$/, ''))];
}

function measured(
  measure: Measure | null,
  computed: RowSide,
  which: 'planned' | 'taken',
  context: ReportContext,
  instruments: Instruments,
): Cell {
  const { values } = context;
  const ink = which === 'taken' ? 'student' : 'print';
  const cells = [computed.mass, computed.volume];
  const typed =
    measure !== null && (measure.by === 'mass' || measure.by === 'volume') ? entered(measure.entered) : '';
  const rest = cells
    .filter((cell) => cell.state === 'known' && !(cell.isEntered && typed !== ''))
    .map((cell) => values.cell(cell))
    .filter((text) => text !== null);
  const letter =
    measure === null
      ? ''
      : measure.drop !== undefined
        ? instruments.letter(`drops: ${dropText(measure.drop)}`)
        : measure.instrument === null
          ? ''
          : instruments.letter(measure.instrument);
  const lines: Line[] = [];
  if (typed !== '')
    lines.push([
      ...inked(typed, ink),
      ...plain(letter, { tone: 'quiet' }).map((run) => ({ ...run, script: 'super' as const })),
    ]);
  lines.push(...rest.map((text) => (typed === '' ? plain(text) : quiet(text))));
  if (lines.length > 0) return lines;
  return measure !== null && entered(measure.entered) !== '' ? [inked(entered(measure.entered), ink)] : dash;
}

function limiting({ computation, values }: ReportContext): Block[] {
  const sentence = (which: 'planned' | 'taken'): string => values.sentence(`limiting-text:${which}`);
  const yieldOf = (which: 'planned' | 'taken'): string => {
    const text = values.full(computation.table[which].theoreticalYield);
    return text === null ? '' : ` Theoretical yield ${text}.`;
  };
  const lines = (['planned', 'taken'] as const)
    .map(
      (which) =>
        [which === 'planned' ? 'As planned: ' : 'As taken: ', sentence(which), yieldOf(which)] as const,
    )
    .filter(([, words]) => words !== '');
  if (lines.length === 0) return [];
  return [
    {
      kind: 'notice',
      title: 'Limiting reagent',
      line: lines.flatMap(([head, words, yields], index) => [
        { text: `${index === 0 ? '' : '\n'}${head}`, tone: 'quiet' as const },
        { text: words + yields },
      ]),
    },
  ];
}

/** What is missing or cannot be, row by row. */
function problems({ content, computation }: ReportContext): Block[] {
  const sentences = computation.table.rows.flatMap((row) =>
    row.problems
      .filter((problem) => fieldOfRow(problem.where, row.rowId) !== null || problem.where !== '')
      .map((problem) => capital(problemSentence(problem))),
  );
  const unique = [...new Set(sentences)];
  if (unique.length === 0 || content.rows.length === 0) return [];
  return [{ kind: 'notice', title: 'Questions about the table', line: plain(unique.join('\n')) }];
}
