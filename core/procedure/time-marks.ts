import type { TimeMark } from '../record/content.ts';

/** UTC instants as the record stores them, with or without milliseconds. */
const instantPattern = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,3})?Z$/;

/** Milliseconds since 1970 of an ISO 8601 UTC text; null when it is none. */
export function instantOfText(text: string): number | null {
  if (!instantPattern.test(text)) return null;
  const instant = Date.parse(text);
  return Number.isFinite(instant) ? instant : null;
}

/** The time that counts: the correction where a person made one. Milliseconds since 1970, or null. */
export const instantOf = (mark: TimeMark | null): number | null =>
  mark === null ? null : instantOfText(mark.correction?.at ?? mark.at);

/** Minutes from one mark to another; negative when they are the wrong way round, null when one is missing. */
export function minutesBetween(from: TimeMark | null, to: TimeMark | null): number | null {
  const start = instantOf(from);
  const end = instantOf(to);
  return start === null || end === null ? null : (end - start) / 60_000;
}

/** A stretch of time in words: `45 s`, `4 min`, `1 h 10 min`. Rounded to what one would say. */
export function durationText(minutes: number): string {
  const size = Math.abs(minutes);
  if (size < 2) return `${Math.round(size * 60)}\u2009s`;
  const whole = Math.round(size);
  if (whole < 120) return `${whole}\u2009min`;
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  return rest === 0 ? `${hours}\u2009h` : `${hours}\u2009h ${rest}\u2009min`;
}
