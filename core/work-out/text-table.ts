import { formatNumber } from '../quantity/format.ts';
import type { PrintedQuantity, PrintedSide, PrintedTableSide, WorkedSheet } from './work-out.ts';

/** Width on a terminal: combining marks take no column. */
const width = (text: string): number =>
  [...text.normalize('NFC')].filter((one) => !/\p{M}/u.test(one)).length;

const pad = (text: string, columns: number, right: boolean): string => {
  const gap = ' '.repeat(Math.max(0, columns - width(text)));
  return right ? gap + text : text + gap;
};

/** Columns as wide as their widest cell; the first left, the others right, as figures stand. */
function columns(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) => Math.max(width(title), ...rows.map((row) => width(row[i] ?? ''))));
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => pad(cell, widths[i] ?? 0, i > 0))
      .join('  ')
      .trimEnd();
  return [line(head), widths.map((one) => '─'.repeat(one)).join('  '), ...rows.map((row) => line(row))].join(
    '\n',
  );
}

const text = (quantity: PrintedQuantity | null): string => quantity?.text ?? '–';

function sideTable(sheet: WorkedSheet, name: 'planned' | 'taken'): string {
  const rows = sheet.rows
    .filter((row) => Object.values(row[name] satisfies PrintedSide).some((cell) => cell !== null))
    .map((row) => [
      row.name,
      // Its uncertainty is far below anything that was measured: the JSON has it.
      row.molarMass === null ? '–' : formatNumber(row.molarMass.value, row.molarMass.significantFigures),
      row.coefficient === null ? '' : String(row.coefficient),
      text(row[name].mass),
      text(row[name].volume),
      text(row[name].amount),
      text(row[name].equivalents),
    ]);
  if (rows.length === 0) return '';
  const head = [
    name === 'planned' ? 'Planned' : 'Taken',
    'M, g/mol',
    'ν',
    'mass',
    'volume',
    'amount',
    'equivalents',
  ];
  return `${columns(head, rows)}\n${limitingLine(sheet, sheet[name])}`;
}

function limitingLine(
  sheet: WorkedSheet,
  { limiting, theoreticalYield, theoreticalYieldIfOther }: PrintedTableSide,
): string {
  if (limiting === null) return 'Limiting reagent: not decided.';
  const name = (id: string | null): string => sheet.rows.find((row) => row.id === id)?.name ?? '';
  const lines = [`Limiting reagent: ${name(limiting.row)}`];
  if (!limiting.isCertain && limiting.runnerUp !== null) {
    const share = limiting.probability === null ? '' : ` (probability ${limiting.probability.toFixed(2)})`;
    lines[0] += `${share}, not certain: measuring cannot tell it from ${name(limiting.runnerUp)}`;
  }
  lines.push(`Theoretical yield: ${text(theoreticalYield)}`);
  if (theoreticalYieldIfOther !== null) {
    lines.push(`  if ${name(limiting.runnerUp)} limits: ${text(theoreticalYieldIfOther)}`);
  }
  return lines.join('\n');
}

/** A worked sheet for a terminal. */
export function textTable(sheet: WorkedSheet): string {
  const blocks: string[] = [];
  if (sheet.title !== '') blocks.push(`${sheet.title}\n${'═'.repeat(width(sheet.title))}`);
  if (sheet.scaleFactor !== null) blocks.push(`The plan times ${sheet.scaleFactor.toPrecision(4)}`);
  for (const side of ['planned', 'taken'] as const) {
    const block = sideTable(sheet, side);
    if (block !== '') blocks.push(block);
  }
  const named: readonly (readonly [string, PrintedQuantity | null])[] = [
    ['Crude yield', sheet.yields.crude],
    ['Pure yield', sheet.yields.pure],
    ['Recovery', sheet.yields.recovery],
    ...sheet.overallYields.map((one): readonly [string, PrintedQuantity | null] => [
      `Overall yield from ${one.stages.at(-1) ?? ''}`,
      one.yield,
    ]),
    ['Atom economy', sheet.green.atomEconomy],
    ['E-factor', sheet.green.eFactor],
    ['E-factor without water', sheet.green.eFactorWithoutWater],
    ['Process mass intensity', sheet.green.processMassIntensity],
    ['Reaction mass efficiency', sheet.green.reactionMassEfficiency],
  ];
  const waste = sheet.waste.map(({ stream, mass }): readonly [string, PrintedQuantity | null] => [
    `Waste, ${stream}`,
    mass,
  ]);
  const results = [...named, ...waste].flatMap(([label, quantity]) =>
    quantity === null ? [] : [[label, quantity.text]],
  );
  if (results.length > 0) {
    const taken = results.some(([label = '']) => label !== 'Atom economy') ? sheet.assumptions : [];
    blocks.push([columns(['Result', ''], results), ...taken.map((one) => `  ${one}`)].join('\n'));
  }
  for (const { property, sentences } of sheet.identity) {
    const names = { melting: 'Melting range', boiling: 'Boiling range', refraction: 'Refractive index' };
    blocks.push([names[property], ...sentences.map((one) => `  ${one}`)].join('\n'));
  }
  for (const { title, answers, statements } of sheet.calculations) {
    if (title === '') continue;
    const rows = Object.entries(answers).map(([id, quantity]) => [
      sheet.workings.find((one) => one.id.endsWith(`/${id}`))?.title ?? id,
      quantity.text,
    ]);
    const said = statements.map((one) => `  ${one.text}`);
    blocks.push([columns([title, ''], rows), ...said].join('\n'));
  }
  if (sheet.problems.length > 0) {
    blocks.push(
      ['To mend:', ...sheet.problems.map(({ where, sentence }) => `  ${where}: ${sentence}`)].join('\n'),
    );
  }
  return `${blocks.join('\n\n')}\n`;
}
