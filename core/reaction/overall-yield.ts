import { parseEntered } from '../quantity/entered.ts';
import type { Problem, Result } from '../result.ts';
import { ok } from '../result.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { blockedCell, workedCell } from './cell.ts';
import { isBlank, readConstant, typedTerm } from './entered-value.ts';
import { rowPath, rowProblem } from './place.ts';
import type { Cell, EarlierStage, ReagentRow, ReagentTable } from './table-types.ts';
import { workOut } from './work-out.ts';

/** Yield over several linked entries, from one starting material to this entry's product. */
export interface OverallYield {
  /** The row of this entry that the line of entries comes in by. */
  readonly rowId: string;
  /** Earlier entries of the line, the nearest first. */
  readonly stages: readonly EarlierStage[];
  /** %. */
  readonly overall: Cell;
}

/** The lines of entries that end in a row: one for each starting material. */
export function linesOf(row: ReagentRow): readonly (readonly EarlierStage[])[] {
  const { origin } = row;
  if (origin === null) return [];
  return origin.lines.length === 0 ? [[origin]] : origin.lines.map((line) => [origin, ...line]);
}

/**
 * Overall yield of every line of linked entries: Y = y(this entry) · Π y(earlier entries). A convergent
 * preparation has one for each starting material; they are not averaged.
 *
 * The yields of the entries are counted as independent: each was weighed in its own preparation.
 *
 * @param pure this entry's pure percentage yield
 * @returns one per starting material, in the order of the rows; none for an entry that is not linked
 * @error within the cells: origin-yield-missing, origin-yield-unfit (facts: name, entry), the codes of `parseEntered`, and
 *   whatever blocks the pure yield; product-not-weighed while there is none
 * @source product of stage yields; any text on organic synthesis
 */
export function overallYields(
  rows: readonly ReagentRow[],
  table: ReagentTable,
  pure: Cell,
): readonly OverallYield[] {
  const sources = rows.filter(({ origin }) => origin !== null);
  const lines = sources.flatMap((row) => linesOf(row).map((stages) => ({ row, stages })));
  return lines.map(({ row, stages }, index) => ({
    rowId: row.id,
    stages,
    overall: overallOf(row, stages, pure, notesFor(row, table, lines.length), index),
  }));
}

function notesFor(row: ReagentRow, table: ReagentTable, lines: number): readonly string[] {
  const { limiting } = table.taken;
  const isOther = limiting.state === 'found' && limiting.rowId !== row.id;
  return [
    ...(isOther
      ? ['It was in excess here: the yield of this entry counts on the reagent that limits, by convention.']
      : []),
    ...(lines > 1
      ? ['A convergent preparation has one overall yield for each starting material; they are not averaged.']
      : []),
  ];
}

function overallOf(
  row: ReagentRow,
  stages: readonly EarlierStage[],
  pure: Cell,
  notes: readonly string[],
  index: number,
): Cell {
  const where = rowPath(row.id, 'origin.yield');
  const terms: WorkingTerm[] = [];
  const problems: Problem[] = [];
  if (pure.state === 'known' && pure.working !== null) {
    terms.push(workingTerm('y_0', 'y_{this}', 'pure yield of this entry', pure.working));
  } else if (pure.state === 'blocked') problems.push(...pure.problems);
  else problems.push({ code: 'product-not-weighed', where: 'result.pure.mass', facts: {} });
  for (const [at, stage] of stages.entries()) {
    const term = stageTerm(row, stage, at + 1, where);
    if (term.ok) terms.push(term.value);
    else problems.push(term.error);
  }
  if (problems.length > 0) return blockedCell(problems);
  const hundred = exactTerm('hundred', '100 %', 'the whole', 100, 'definition of per cent', '%');
  const worked = workOut({
    id: `overall-yield:${row.id}${index === 0 ? '' : `:${index + 1}`}`,
    title: `Overall yield from ${startOf(stages)}`,
    symbol: 'Y',
    formula: `hundred * ${terms.map(({ key }) => `(${key} / hundred)`).join(' * ')}`,
    display: `Y = ${terms.map(({ symbol }) => symbol).join(' · ')}`,
    terms: [hundred, ...terms],
    unit: '%',
    citation: 'product of the yields of the stages',
    notes,
    where,
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}

const startOf = (stages: readonly EarlierStage[]): string => {
  const first = stages.at(-1);
  return first === undefined ? 'this entry' : stageName(first);
};

/** "entry 2, methyl benzoate" */
export const stageName = ({ entryNumber, title }: EarlierStage): string =>
  title.trim() === '' ? `entry ${entryNumber}` : `entry ${entryNumber}, ${title.trim()}`;

function stageTerm(
  row: ReagentRow,
  stage: EarlierStage,
  at: number,
  where: string,
): Result<WorkingTerm, Problem> {
  const entered = stage.yield;
  if (entered === null || isBlank(entered)) {
    const facts = { entry: stageName(stage) };
    return { ok: false, error: rowProblem(row, 'origin.yield', 'origin-yield-missing', facts) };
  }
  const label = `pure yield of ${stageName(stage)}`;
  const source = `entry:${stage.entryId}:yield`;
  const read = readConstant(entered, 'fraction', '%', source, label);
  if (!read.ok) return { ok: false, error: { ...read.error, where } };
  if (!(read.value.quantity.value > 0)) {
    const facts = { entry: stageName(stage) };
    return { ok: false, error: rowProblem(row, 'origin.yield', 'origin-yield-unfit', facts) };
  }
  const stated = statedUncertainty(stage);
  const value =
    stated === null
      ? read.value
      : {
          quantity: { ...read.value.quantity, standardUncertainty: stated },
          contributions: [{ source, label, value: stated }],
        };
  return ok(typedTerm(`y_${at}`, `y_{entry ${stage.entryNumber}}`, label, value, where));
}

/** Percentage points, as the earlier entry printed them; null where it printed none. */
function statedUncertainty({ yieldUncertainty }: EarlierStage): number | null {
  if (yieldUncertainty === null || isBlank(yieldUncertainty)) return null;
  const parsed = parseEntered(yieldUncertainty, 'fraction', 'origin.yieldUncertainty');
  return parsed.ok && parsed.value.value > 0 ? parsed.value.value : null;
}
