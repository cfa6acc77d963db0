const two = (n: number): string => String(n).padStart(2, '0');
const months = [
  'Jan',
  'Feb',
  'Mar',
  'Apr',
  'May',
  'June',
  'July',
  'Aug',
  'Sept',
  'Oct',
  'Nov',
  'Dec',
] as const;

/** An instant as the clock on the wall showed it there: shifted by the offset it was taken with. */
function wall(at: string, offsetMinutes: number): Date {
  return new Date(Date.parse(at) + offsetMinutes * 60_000);
}

/** Minutes east of UTC of this computer at that instant. */
export const localOffset = (at: string): number => -new Date(at).getTimezoneOffset();

/** `UTC+01:00`; a real minus west of Greenwich. */
export function offsetText(offsetMinutes: number): string {
  const size = Math.abs(offsetMinutes);
  return `UTC${offsetMinutes < 0 ? '−' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** `14 Oct 2025`. */
export function dayOf(at: string, offsetMinutes = localOffset(at)): string {
  const date = wall(at, offsetMinutes);
  if (Number.isNaN(date.getTime())) return at;
  return `${date.getUTCDate()} ${months[date.getUTCMonth()] ?? ''} ${date.getUTCFullYear()}`;
}

/** `14:05`, or `14:05:09` where seconds matter. */
export function timeOf(at: string, offsetMinutes = localOffset(at), hasSeconds = false): string {
  const date = wall(at, offsetMinutes);
  if (Number.isNaN(date.getTime())) return '';
  const minutes = `${two(date.getUTCHours())}:${two(date.getUTCMinutes())}`;
  return hasSeconds ? `${minutes}:${two(date.getUTCSeconds())}` : minutes;
}

/** A calendar date `YYYY-MM-DD` as it is written in a record book: `14 Oct 2025`. */
export function calendarDay(date: string): string {
  const [year, month, day] = date.split('-');
  const name = months[Number(month) - 1];
  return year === undefined || day === undefined || name === undefined
    ? date
    : `${Number(day)} ${name} ${year}`;
}

/**
 * A calendar date as it was typed: `14 Oct 2025`, `14 October 2025`, `14.10.2025` (day first) or
 * `2025-10-14`. Figures between strokes are not read: half the world writes the month first.
 *
 * @returns `YYYY-MM-DD`, or null when it is none of these or no day of the calendar
 */
export function readDay(text: string): string | null {
  const iso = /^\s*(\d{4})-(\d{1,2})-(\d{1,2})\s*$/u.exec(text);
  if (iso !== null) return dayFrom(Number(iso[1]), Number(iso[2]), Number(iso[3]));
  const figures = /^\s*(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})\s*$/u.exec(text);
  if (figures !== null) return dayFrom(Number(figures[3]), Number(figures[2]), Number(figures[1]));
  const words =
    /^\s*(\d{1,2})(?:st|nd|rd|th|\.)?\s+(\p{L}{3,9})\.?,?\s+(\d{4})\s*$/iu.exec(text) ??
    turned(/^\s*(\p{L}{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})\s*$/iu.exec(text));
  if (words === null) return null;
  const word = (words[2] ?? '').toLowerCase();
  const at = longMonths.findIndex(
    (name) => name.startsWith(word) || (word === 'sept' && name === 'september'),
  );
  return at < 0 ? null : dayFrom(Number(words[3]), at + 1, Number(words[1]));
}

const longMonths = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
] as const;

/** `Oct 14 2025` in the order of `14 Oct 2025`. */
const turned = (found: RegExpExecArray | null): readonly string[] | null =>
  found === null ? null : [found[0], found[2] ?? '', found[1] ?? '', found[3] ?? ''];

function dayFrom(year: number, month: number, day: number): string | null {
  const date = new Date(Date.UTC(year, month - 1, day));
  const isDay =
    date.getUTCFullYear() === year && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  return isDay ? `${year}-${two(month)}-${two(day)}` : null;
}

/** The day so many days later; unchanged where it is no day. */
export function shiftedDay(day: string, days: number): string {
  const at = Date.parse(`${day}T00:00:00Z`);
  return Number.isNaN(at) ? day : new Date(at + days * 86_400_000).toISOString().slice(0, 10);
}

/** Today as a calendar date of this computer. */
export function today(): string {
  const now = new Date();
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** How long ago, for the eye only; the exact time stands in the title. */
export function since(at: string, now: number = Date.now()): string {
  const minutes = Math.round((now - Date.parse(at)) / 60_000);
  if (Number.isNaN(minutes)) return '';
  if (minutes < 1) return 'just now';
  if (minutes < 60) return `${minutes} min ago`;
  if (minutes < 24 * 60) return `${Math.round(minutes / 60)} h ago`;
  const days = Math.round(minutes / (24 * 60));
  return days === 1 ? 'yesterday' : days < 31 ? `${days} days ago` : dayOf(at);
}
