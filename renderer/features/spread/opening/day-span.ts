import type { EntryContent } from '../../../../core/record/content.ts';
import { clockText, instantOf } from '../../../draft/time-marks.ts';

/** From the first to the last time written down at the steps: `14:03 to 16:40`; '' without two. */
export function daySpan(content: EntryContent): string {
  const marks = content.stepRecords
    .flatMap((record) => [record.started, record.done])
    .filter((mark) => mark !== null)
    .sort((a, b) => instantOf(a) - instantOf(b));
  const [first, last] = [marks[0], marks.at(-1)];
  if (first === undefined || last === undefined || first === last) return '';
  return `${clockText(first)} to ${clockText(last)}`;
}
