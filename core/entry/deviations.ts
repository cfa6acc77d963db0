import { parseEntered } from '../quantity/entered.ts';
import { formatQuantity } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { rowLabel } from '../reaction/place.ts';
import { uncertaintyOf } from '../reaction/work-out.ts';
import type { ComputedRow, ReagentRow } from '../reaction/table-types.ts';
import type { EntryContent } from '../record/content.ts';
import { percentText } from '../reaction/limiting-reagent.ts';
import { problemSentence } from '../wording/index.ts';
import type { Deviation, EntryComputation } from './entry-computation.ts';

type Parts = Pick<EntryComputation, 'table' | 'yields' | 'melting' | 'boiling' | 'refraction' | 'steps'>;

/** Difference of an amount, in %, that is worth a question: 1 of `size`. Common practice, no source. */
const graveAmount = { reactant: 5, reagent: 10, catalyst: 25, other: 25 } as const;
/** Below this share of the grave one a difference is ordinary measuring. Common practice, no source. */
const ordinaryShare = 0.4;
/** Percentage points between expected and found yield that are worth a question. Common practice, no source. */
const graveYield = 15;

const graveOf = (row: ReagentRow): number =>
  row.role === 'reactant' || row.role === 'reagent' || row.role === 'catalyst'
    ? graveAmount[row.role]
    : graveAmount.other;

const isSaid = (text: string): boolean => text.trim() !== '';

function amountDeviation(row: ReagentRow, computed: ComputedRow): Deviation | null {
  const { difference } = computed;
  if (difference.state !== 'known') return null;
  const { value } = difference.quantity;
  const size = Math.abs(value) / graveOf(row);
  // What measuring alone can make of it is no deviation.
  const spread = difference.working === null ? 0 : 2 * uncertaintyOf(difference.working);
  if (size < ordinaryShare || Math.abs(value) <= spread) return null;
  return {
    section: 'reagents',
    anchor: row.id,
    sentence: `${rowLabel(row)}: ${percentText(Math.abs(value) / 100)} ${value > 0 ? 'more' : 'less'} than planned`,
    size,
    isExplained: isSaid(row.remark),
  };
}

const yieldOf = (parts: Parts): { readonly quantity: Quantity; readonly stage: string } | null => {
  for (const stage of ['pure', 'crude'] as const) {
    const cell = parts.yields[stage];
    if (cell.state === 'known') return { quantity: cell.quantity, stage };
  }
  return null;
};

function yieldDeviation(content: EntryContent, parts: Parts): Deviation | null {
  const { expectedYield } = content;
  const found = yieldOf(parts);
  if (found === null || expectedYield === null || !isSaid(expectedYield.text)) return null;
  const expected = parseEntered(expectedYield, 'fraction', 'expectedYield');
  if (!expected.ok) return null;
  const difference = found.quantity.value - expected.value.value;
  const size = Math.abs(difference) / graveYield;
  if (size < ordinaryShare) return null;
  const points = formatQuantity({
    value: Math.abs(difference),
    unit: '1',
    standardUncertainty: null,
    significantFigures: Math.abs(difference) >= 10 ? 2 : 1,
  });
  return {
    section: 'result',
    anchor: null,
    sentence: `${found.stage} yield ${formatQuantity(found.quantity).text}, ${points.text} percentage points ${difference > 0 ? 'above' : 'below'} the ${formatQuantity(expected.value).text} expected`,
    size,
    isExplained: isSaid(content.discussion),
  };
}

function resultDeviations(content: EntryContent, parts: Parts): Deviation[] {
  const isExplained = isSaid(content.discussion);
  const list: Deviation[] = parts.yields.excesses.map((problem) => ({
    section: 'result',
    anchor: null,
    sentence: problemSentence(problem),
    size: problem.facts['isWithin'] === 'yes' ? 0.5 : 3,
    isExplained,
  }));
  for (const verdict of [parts.melting, parts.boiling, parts.refraction]) {
    if (verdict === null || verdict.size === 0) continue;
    const sentence = verdict.sentences.join(' ');
    list.push({ section: 'result', anchor: null, sentence, size: verdict.size, isExplained });
  }
  return list;
}

/**
 * Where what was done differs from what was intended, largest first: amounts beyond what measuring
 * explains, limits of steps not kept, yields far from the expected, physical constants off.
 */
export function findDeviations(content: EntryContent, parts: Parts): readonly Deviation[] {
  const list: Deviation[] = [];
  for (const [index, row] of content.rows.entries()) {
    const computed = parts.table.rows[index];
    const found = computed === undefined ? null : amountDeviation(row, computed);
    if (found !== null) list.push(found);
  }
  for (const { exceedances, number, stepId, isExplained } of parts.steps) {
    for (const { sentence, size } of exceedances) {
      list.push({
        section: 'procedure',
        anchor: stepId,
        sentence: `step ${number}: ${sentence}`,
        size,
        isExplained,
      });
    }
  }
  const ofYield = yieldDeviation(content, parts);
  if (ofYield !== null) list.push(ofYield);
  list.push(...resultDeviations(content, parts));
  return list.toSorted((a, b) => b.size - a.size);
}
