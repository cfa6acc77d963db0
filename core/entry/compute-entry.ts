import { calculationById } from '../calculations/index.ts';
import { greenMetrics, obtainedProduct } from '../green/green-metrics.ts';
import { assessSteps } from '../procedure/assess-steps.ts';
import { planSession } from '../procedure/session-plan.ts';
import { evaluateBoiling } from '../reaction/boiling-point.ts';
import { evaluateMelting } from '../reaction/melting-range.ts';
import { overallYields } from '../reaction/overall-yield.ts';
import { computeTable } from '../reaction/reagent-table.ts';
import { evaluateRefraction } from '../reaction/refractive-index.ts';
import { computeYields } from '../reaction/yields.ts';
import type { EntryContent } from '../record/content.ts';
import { findDeviations } from './deviations.ts';
import { blankSections, findDoubts } from './doubts.ts';
import type { ComputedWorksheet, EntryComputation } from './entry-computation.ts';
import { limitingText, spoken } from './say.ts';
import { allWorkings, writtenOut } from './workings-of.ts';

export type { ComputedWorksheet, Deviation, EntryComputation, SpokenVerdict } from './entry-computation.ts';

/**
 * Works out everything an entry implies: reagent table, yields, green metrics, verdicts on the product, steps against
 * their limits, worksheets, deviations, doubts. Screens, PDF, tray and signing all call this one
 * function, so that they cannot say different things.
 *
 * @returns never throws for any content of the right shape and holds no number that is not finite;
 *   what cannot be worked out is blocked, with its reasons
 */
export function computeEntry(content: EntryContent): EntryComputation {
  const table = computeTable(content);
  const yields = computeYields(table, content.result);
  const { literature, result, equation, rows, productRowId } = content;
  const green = greenMetrics({ equation, rows, table, productRowId, obtained: obtainedProduct(result) });
  const melting = spoken(evaluateMelting(result.meltingRange, literature.meltingRange));
  const boiling = spoken(evaluateBoiling(result.boilingRange, literature.boilingPoint));
  const refraction = spoken(evaluateRefraction(result.refractiveIndex, literature.refractiveIndex));
  const worksheets = content.worksheets.map((worksheet): ComputedWorksheet => {
    const calculation = calculationById(worksheet.calculation) ?? null;
    return { worksheet, calculation, outcome: calculation?.work(worksheet.inputs) ?? null };
  });
  const computed = {
    table,
    yields,
    overallYields: overallYields(rows, table, yields.pure),
    green,
    limitingText: {
      planned: limitingText(table, content.rows, 'planned'),
      taken: limitingText(table, content.rows, 'taken'),
    },
    melting,
    boiling,
    refraction,
    steps: assessSteps(content),
    session: planSession(content.steps),
    worksheets,
  };
  const workings = allWorkings(computed);
  return {
    ...computed,
    deviations: findDeviations(content, computed),
    workings,
    calculation: writtenOut(computed, workings),
    doubts: findDoubts(content, computed),
    blanks: blankSections(content),
  };
}
