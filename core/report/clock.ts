import type { TimeMark } from '../record/content.ts';
import { instantOf, minutesBetween } from '../procedure/time-marks.ts';
import { formatQuantity } from '../quantity/format.ts';

const two = (value: number): string => String(value).padStart(2, '0');

/** Time of day as the person saw it, `13:05`; with seconds only where they are not zero would be noise. */
export function clockText(mark: TimeMark | null): string {
  const instant = instantOf(mark);
  if (mark === null || instant === null) return '';
  const local = new Date(instant + mark.offsetMinutes * 60_000);
  return `${two(local.getUTCHours())}:${two(local.getUTCMinutes())}`;
}

/** The local calendar day of a mark, `2027-03-09`. */
export function dayOf(mark: TimeMark | null): string {
  const instant = instantOf(mark);
  if (mark === null || instant === null) return '';
  return new Date(instant + mark.offsetMinutes * 60_000).toISOString().slice(0, 10);
}

/** `13:05–13:11, 6 min`; one end alone is said to be that. */
export function spanText(from: TimeMark | null, to: TimeMark | null): string {
  const start = clockText(from);
  const end = clockText(to);
  if (start === '') return end === '' ? '' : `done ${end}`;
  if (end === '') return `begun ${start}`;
  const minutes = minutesBetween(from, to);
  if (minutes === null || minutes < 0) return `${start}–${end}`;
  if (start === end) return start;
  const rounded = Math.round(minutes);
  const length = formatQuantity({
    value: rounded,
    unit: 'min',
    standardUncertainty: null,
    significantFigures: null,
  });
  return `${start}–${end}, ${length.text}`;
}

/** Said once where a time was corrected by hand: the program's own and the reason. */
export function correctionText(mark: TimeMark | null): string {
  if (mark === null || mark.correction === null) return '';
  return `time corrected from ${clockText({ ...mark, correction: null })}: ${mark.correction.reason}`;
}
