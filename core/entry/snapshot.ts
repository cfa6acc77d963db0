import { formatQuantity, formatWithUncertainty } from '../quantity/format.ts';
import type { ComputedSnapshot, SnapshotLine } from '../record/objects.ts';
import { workingLines } from '../workings/lines.ts';
import { plainText } from '../workings/markup.ts';
import type { Working } from '../workings/working.ts';
import type { EntryComputation } from './entry-computation.ts';

/** Named on every snapshot: which rules and constants the values come from. Raise it when a formula changes. */
export const engine = 'fairleaf-engine/1, atomic weights IUPAC/CIAAW 2021 abridged';

const sentence = (id: string, title: string, value: string): SnapshotLine[] =>
  value === '' ? [] : [{ id, title, value, unit: '', lines: [] }];

function line(working: Working, titles: ReadonlyMap<string, string>): SnapshotLine {
  const { result } = working;
  const hasSpread = result.standardUncertainty !== null && result.standardUncertainty > 0;
  const printed = formatQuantity(result);
  const spread = hasSpread ? formatWithUncertainty(result).uncertainty : null;
  return {
    id: working.id,
    title: plainText(working.title),
    value: spread === null ? printed.number : `${formatWithUncertainty(result).number} ± ${spread}`,
    unit: printed.unit,
    lines: workingLines(working, titles),
  };
}

/**
 * The computed values as they stand, frozen for a signature: first the answers (limiting reagent,
 * yields, verdicts), then every other working. A signed entry shows these and is never recomputed.
 *
 * Ids are those of the workings; sentences have ids of their own: `limiting-text:taken`,
 * `melting-text`, `boiling-text`, `refraction-text`, `deviation:1` ….
 */
export function snapshot(computation: EntryComputation): ComputedSnapshot {
  const { yields, limitingText, melting, boiling, refraction, deviations, workings } = computation;
  const titles = new Map(workings.map((working) => [working.id, working.title]));
  const answers = [yields.theoretical, yields.crude, yields.pure, yields.recovery].flatMap((cell) =>
    cell.state === 'known' && cell.working !== null ? [cell.working] : [],
  );
  const first = new Set(answers.map((working) => working.id));
  return {
    engine,
    lines: [
      ...answers.map((working) => line(working, titles)),
      ...sentence('melting-text', 'Melting range', melting?.sentences.join(' ') ?? ''),
      ...sentence('boiling-text', 'Boiling range', boiling?.sentences.join(' ') ?? ''),
      ...sentence('refraction-text', 'Refractive index', refraction?.sentences.join(' ') ?? ''),
      ...sentence('limiting-text:taken', 'Limiting reagent, taken', limitingText.taken),
      ...sentence('limiting-text:planned', 'Limiting reagent, planned', limitingText.planned),
      ...deviations.flatMap((one, index) => sentence(`deviation:${index + 1}`, 'Deviation', one.sentence)),
      ...workings.filter((working) => !first.has(working.id)).map((working) => line(working, titles)),
    ],
  };
}
