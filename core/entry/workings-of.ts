import type { Cell, RowSide } from '../reaction/table-types.ts';
import type { Working } from '../workings/working.ts';
import type { EntryComputation } from './entry-computation.ts';

type Parts = Pick<
  EntryComputation,
  'table' | 'yields' | 'overallYields' | 'green' | 'melting' | 'boiling' | 'refraction' | 'worksheets'
>;

const cellsOf = (side: RowSide): readonly Cell[] => [
  side.mass,
  side.volume,
  side.amount,
  side.equivalents,
  side.excess,
];

/**
 * Every working of an entry, each id once: table cells of both sides, limiting reagents, yields,
 * verdicts, green metrics, worksheets. Ids of a worksheet's workings are put behind the worksheet's own.
 */
export function allWorkings(parts: Parts): readonly Working[] {
  const found = new Map<string, Working>();
  const add = (working: Working | null): void => {
    if (working === null || found.has(working.id)) return;
    found.set(working.id, working);
  };
  const addCell = (cell: Cell): void => {
    if (cell.state === 'known') add(cell.working);
  };
  const { table, yields } = parts;
  for (const row of table.rows) {
    addCell(row.molarMass);
    for (const side of [row.planned, row.taken]) for (const cell of cellsOf(side)) addCell(cell);
    addCell(row.difference);
  }
  for (const side of [table.planned, table.taken]) {
    if (side.limiting.state === 'found') {
      for (const extent of side.limiting.extents) add(extent);
      add(side.limiting.working);
    }
    addCell(side.theoreticalYield);
    addCell(side.theoreticalYieldIfOther);
  }
  for (const cell of [yields.crude, yields.pure, yields.pureIfOther, yields.recovery]) addCell(cell);
  for (const { overall } of parts.overallYields) addCell(overall);
  for (const verdict of [parts.melting, parts.boiling, parts.refraction]) {
    for (const working of verdict?.workings ?? []) add(working);
  }
  for (const working of parts.green.workings) add(working);
  for (const { worksheet, outcome } of parts.worksheets) {
    for (const working of outcome?.workings ?? []) add(ofWorksheet(worksheet.id, working));
  }
  return [...found.values()];
}

/** Two worksheets of one kind have workings of the same ids; the worksheet's id keeps them apart. */
export const ofWorksheet = (worksheetId: string, working: Working): Working => ({
  ...working,
  id: `worksheet:${worksheetId}:${working.id}`,
  terms: working.terms.map((term) =>
    term.source.kind === 'working'
      ? { ...term, source: { kind: 'working', id: `worksheet:${worksheetId}:${term.source.id}` } }
      : term,
  ),
});

/**
 * What a student writes out by hand, in the order of the argument: what the yields rest on, then the
 * yields, the verdicts, the worksheets' answers and the green metrics. From the taken side; from the plan while nothing
 * was taken.
 *
 * @param all every working of the entry, from `allWorkings`
 */
export function writtenOut(parts: Parts, all: readonly Working[]): readonly Working[] {
  const { table, yields } = parts;
  const byId = new Map<string, Working>();
  for (const working of all) byId.set(working.id, working);
  const ordered = new Map<string, Working>();
  const addWithGrounds = (working: Working | null | undefined): void => {
    if (working === null || working === undefined || ordered.has(working.id)) return;
    for (const term of working.terms) {
      if (term.source.kind === 'working') addWithGrounds(byId.get(term.source.id));
    }
    ordered.set(working.id, working);
  };
  const side = table.taken.limiting.state === 'found' ? table.taken : table.planned;
  if (side.limiting.state === 'found') addWithGrounds(side.limiting.working);
  const cells = [
    side.theoreticalYield,
    side.theoreticalYieldIfOther,
    yields.crude,
    yields.pure,
    yields.pureIfOther,
    yields.recovery,
    ...parts.overallYields.map(({ overall }) => overall),
  ];
  for (const cell of cells) if (cell.state === 'known') addWithGrounds(cell.working);
  for (const verdict of [parts.melting, parts.boiling, parts.refraction]) {
    for (const working of verdict?.workings ?? []) addWithGrounds(working);
  }
  for (const { worksheet, outcome } of parts.worksheets) {
    for (const id of outcome?.answers ?? []) addWithGrounds(byId.get(`worksheet:${worksheet.id}:${id}`));
  }
  for (const working of parts.green.workings) addWithGrounds(working);
  return [...ordered.values()];
}
