const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];
const two = (n: number): string => String(n).padStart(2, '0');

/** `UTC+01:00`, `UTC−03:30`, `UTC`. @param offsetMinutes minutes east of UTC */
export function offsetText(offsetMinutes: number): string {
  if (offsetMinutes === 0) return 'UTC';
  const size = Math.abs(offsetMinutes);
  return `UTC${offsetMinutes < 0 ? '−' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/**
 * An instant as the person saw it on the clock: `9 March 2027, 14:05:09 (UTC+01:00)`.
 *
 * @param at UTC, ISO 8601; given back unchanged when it is no instant
 * @param offsetMinutes minutes east of UTC at that place and time
 */
export function whenText(at: string, offsetMinutes: number): string {
  const utc = Date.parse(at);
  if (Number.isNaN(utc)) return at;
  // Shifted by the offset and read as UTC: core knows no time zone but the one recorded.
  const local = new Date(utc + offsetMinutes * 60_000);
  const day = `${local.getUTCDate()} ${months[local.getUTCMonth()] ?? ''} ${local.getUTCFullYear()}`;
  const clock = `${two(local.getUTCHours())}:${two(local.getUTCMinutes())}:${two(local.getUTCSeconds())}`;
  return `${day}, ${clock} (${offsetText(offsetMinutes)})`;
}

/** `9 March 2027` from a calendar date `2027-03-09`; other text is given back unchanged. */
export function dateText(date: string): string {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  const month = match === null ? undefined : months[Number(match[2]) - 1];
  return match === null || month === undefined ? date : `${Number(match[3])} ${month} ${Number(match[1])}`;
}
