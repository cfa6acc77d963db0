import type { Weighing } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { blockedCell, noCell, workedCell } from './cell.ts';
import { isBlank, readMeasured, typedTerm } from './entered-value.ts';
import { formatNumber } from '../quantity/format.ts';
import type { Cell, ReagentTable } from './table-types.ts';
import { uncertaintyOf, workOut } from './work-out.ts';

/** What was obtained, held against what was taken. */
export interface Yields {
  /** Mass on complete conversion of what was taken, g. */
  readonly theoretical: Cell;
  /** The same if the runner-up limits; `none` when the limiting reagent is certain. */
  readonly theoreticalIfOther: Cell;
  /** Per cent of the theoretical yield, as weighed before purification. */
  readonly crude: Cell;
  readonly pure: Cell;
  /** Pure yield if the runner-up limits; `none` when the limiting reagent is certain. */
  readonly pureIfOther: Cell;
  /** Pure ÷ crude mass, in %: how much the purification kept. It is no yield. */
  readonly recovery: Cell;
  readonly problems: readonly Problem[];
  /** Over 100 %, in the order crude, pure, recovery: questioned, never hidden. */
  readonly excesses: readonly Problem[];
}

type Stage = 'crude' | 'pure';

type Weighed =
  | { readonly term: WorkingTerm; readonly problems: readonly Problem[] }
  | { readonly problem: Problem }
  | null;

function weigh(weighing: Weighing, stage: Stage): Weighed {
  if (weighing.mass === null || isBlank(weighing.mass)) return null;
  const where = `result.${stage}.mass`;
  const label = `mass of the ${stage} product`;
  const read = readMeasured(weighing.mass, weighing.instrument, 'mass', 'g', where, label, stage, false);
  if (!read.ok) return { problem: { ...read.error, where } };
  const symbol = `m_{${stage}}`;
  const term = typedTerm(`m_${stage}`, symbol, label, read.value, where);
  return { term, problems: read.value.doubts.map((one) => ({ ...one, where })) };
}

const nothingTaken: Problem = { code: 'nothing-taken', where: 'rows', facts: {} };

function percentOf(
  id: string,
  title: string,
  symbol: string,
  of: WorkingTerm,
  whole: WorkingTerm,
  citation: string,
): Cell {
  const worked = workOut({
    id,
    title,
    symbol,
    formula: `100 * ${of.key} / ${whole.key}`,
    display: `${symbol} = 100 % · ${of.symbol} / ${whole.symbol}`,
    terms: [of, whole],
    unit: '%',
    citation,
    where: of.source.kind === 'entered' ? of.source.where : '',
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}

const percentageYield = 'percentage yield: OpenStax Chemistry 2e, 4.4';

function yieldCell(weighed: Weighed, theoretical: Cell, id: string, title: string, symbol: string): Cell {
  if (weighed === null) return noCell;
  if ('problem' in weighed) return blockedCell([weighed.problem]);
  // Never silently from the plan: a yield is of what was taken.
  if (theoretical.state === 'none') return blockedCell([nothingTaken]);
  if (theoretical.state === 'blocked') return theoretical;
  if (theoretical.working === null) return noCell;
  const whole = workingTerm(
    'm_theo',
    'm_{theo}',
    'theoretical yield from what was taken',
    theoretical.working,
  );
  return percentOf(id, title, symbol, weighed.term, whole, percentageYield);
}

/** A share above 100 %, by how much, and what mass of held solvent would explain it. */
function excessOf(cell: Cell, kind: Stage | 'recovery'): readonly Problem[] {
  if (cell.state !== 'known' || cell.working === null || !(cell.quantity.value > 100)) return [];
  const { value } = cell.quantity;
  const u = uncertaintyOf(cell.working);
  const [of] = cell.working.terms;
  const obtainedG = of?.quantity.value ?? 0;
  const times = u > 0 ? (value - 100) / u : 0;
  const facts: Record<string, string | number> = {
    kind,
    percent: formatNumber(value, Math.max(3, cell.quantity.significantFigures ?? 4)),
    times: u > 0 ? formatNumber(times, times < 10 ? 2 : 3) : '',
    solventG: formatNumber(obtainedG * (1 - 100 / value), 2),
    isWithin: u > 0 && times < 2 ? 'yes' : 'no',
  };
  return [
    {
      code: 'yield-over-100',
      where: kind === 'recovery' ? 'result.pure.mass' : `result.${kind}.mass`,
      facts,
    },
  ];
}

/**
 * Crude and pure percentage yield on what was taken, and the recovery of the purification.
 *
 * @param table computed from the entry's rows; its taken side is used and no other
 * @error within the cells: nothing-taken, the codes of `parseEntered` and whatever blocks the
 *   theoretical yield; `excesses`: yield-over-100 (facts: kind, percent, times (of u), solventG, isWithin)
 * @source OpenStax Chemistry 2e, 4.4
 */
export function computeYields(
  table: ReagentTable,
  weighings: { readonly crude: Weighing; readonly pure: Weighing },
): Yields {
  const { theoreticalYield: theoretical, theoreticalYieldIfOther: theoreticalIfOther } = table.taken;
  const crude = weigh(weighings.crude, 'crude');
  const pure = weigh(weighings.pure, 'pure');
  const crudeCell = yieldCell(crude, theoretical, 'crude-yield', 'Crude yield', 'y_{crude}');
  const pureCell = yieldCell(pure, theoretical, 'pure-yield', 'Pure yield', 'y_{pure}');
  const pureIfOther =
    theoreticalIfOther.state === 'known'
      ? yieldCell(
          pure,
          theoreticalIfOther,
          'pure-yield-other',
          'Pure yield if the runner-up limits',
          'y_{pure}',
        )
      : noCell;
  const recovery =
    pure === null || crude === null || 'problem' in pure || 'problem' in crude
      ? noCell
      : percentOf('recovery', 'Recovery in purification', 'r', pure.term, crude.term, 'mass balance');
  const problems = [crude, pure].flatMap((one) =>
    one === null ? [] : 'problem' in one ? [one.problem] : one.problems,
  );
  return {
    theoretical,
    theoreticalIfOther,
    crude: crudeCell,
    pure: pureCell,
    pureIfOther,
    recovery,
    problems,
    excesses: [
      ...excessOf(crudeCell, 'crude'),
      ...excessOf(pureCell, 'pure'),
      ...excessOf(recovery, 'recovery'),
    ],
  };
}
