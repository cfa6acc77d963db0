import type { EntryContent } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { instantOf } from './time-marks.ts';

const dayMs = 24 * 60 * 60_000;
/** A practical is planned within the year and written up within the next. Common practice, no source. */
const farAheadDays = 366;
const farBackDays = 732;
/** Work that is ticked off so far from the day named was done on another day. Common practice, no source. */
const farFromTimesDays = 31;

const where = 'date';

/** Midnight UTC of a calendar date `YYYY-MM-DD`, ms since 1970; null when it is none. */
function midnightOf(date: string): number | null {
  const instant = /^\d{4}-\d{2}-\d{2}$/.test(date) ? Date.parse(`${date}T00:00:00.000Z`) : Number.NaN;
  return Number.isFinite(instant) ? instant : null;
}

/**
 * Questions the day of an entry where it lies so far from the present that it was probably mistyped:
 * more than a year ahead or two years back.
 *
 * @param date local calendar date, `YYYY-MM-DD`
 * @param today the present as a local calendar date, given by whoever has a clock
 * @returns null when there is nothing to ask, or when a date cannot be read
 * @error date-far-ahead, date-far-back (facts: date, days), at `date`
 */
export function checkDate(date: string, today: string): Problem | null {
  const [day, present] = [midnightOf(date), midnightOf(today)];
  if (day === null || present === null) return null;
  const days = Math.round((day - present) / dayMs);
  if (days > farAheadDays) return { code: 'date-far-ahead', where, facts: { date, days } };
  if (days < -farBackDays) return { code: 'date-far-back', where, facts: { date, days: -days } };
  return null;
}

/**
 * Questions the day of an entry against the times of its own steps: the first of them within a month of it.
 *
 * @returns null when they fit, or when no time was noted
 * @error date-far-from-times (facts: date, days), at `date`
 */
export function checkDateAgainstTimes({
  date,
  stepRecords,
}: Pick<EntryContent, 'date' | 'stepRecords'>): Problem | null {
  const day = midnightOf(date);
  const marks = stepRecords.flatMap(({ started, done }) => [instantOf(started), instantOf(done)]);
  const first = Math.min(...marks.filter((one) => one !== null));
  if (day === null || !Number.isFinite(first)) return null;
  const days = Math.round(Math.abs(first - day) / dayMs);
  return days > farFromTimesDays ? { code: 'date-far-from-times', where, facts: { date, days } } : null;
}
