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
