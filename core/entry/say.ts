import { formatQuantity } from '../quantity/format.ts';
import type { IdentityVerdict } from '../reaction/identity.ts';
import { excessText, percentText, probabilityText } from '../reaction/limiting-reagent.ts';
import { rowLabel } from '../reaction/place.ts';
import type { ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import { problemSentence } from '../wording/index.ts';
import type { SpokenVerdict } from './entry-computation.ts';

export const spoken = (verdict: IdentityVerdict | null): SpokenVerdict | null =>
  verdict === null ? null : { ...verdict, sentences: verdict.findings.map(problemSentence) };

export const nameOf = (rows: readonly ReagentRow[], rowId: string): string => {
  const row = rows.find((one) => one.id === rowId);
  return row === undefined ? rowId : rowLabel(row);
};

/**
 * Who limits and how sure that is, in one or two sentences; empty while nothing can be said.
 */
export function limitingText(
  table: ReagentTable,
  rows: readonly ReagentRow[],
  side: 'planned' | 'taken',
): string {
  const { limiting, theoreticalYield, theoreticalYieldIfOther } = table[side];
  if (limiting.state !== 'found') return '';
  const name = nameOf(rows, limiting.rowId);
  const { runnerUp } = limiting;
  if (runnerUp === null) return `${name} limits.`;
  const other = nameOf(rows, runnerUp.rowId);
  if (runnerUp.margin === 0) {
    return `${name} and ${other} are in the exact ratio of the equation: which of them limits, measuring decides.`;
  }
  const margin = percentText(runnerUp.margin);
  if (limiting.isCertain) return `${name} limits; ${other} is next${excessText(runnerUp.margin)}.`;
  const yields =
    theoreticalYield.state === 'known' && theoreticalYieldIfOther.state === 'known'
      ? ` The theoretical yield is ${formatQuantity(theoreticalYield.quantity).text}, or ${formatQuantity(theoreticalYieldIfOther.quantity).text} if ${other} limits.`
      : '';
  const odds = runnerUp.probability === null ? '' : `, probability ${probabilityText(runnerUp.probability)}`;
  return `${name} limits, but not for certain${odds}: ${other} is only ${margin} above, and the measuring cannot tell them apart.${yields}`;
}
