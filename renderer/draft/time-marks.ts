import type { TimeMark } from '../../core/record/content.ts';

/** The instant `now` (milliseconds since 1970, UTC) as a mark, with the offset of this machine's clock. */
export function markAt(now: number): TimeMark {
  const date = new Date(now);
  return { at: date.toISOString(), offsetMinutes: -date.getTimezoneOffset(), correction: null };
}

/** Milliseconds since 1970 of the time that counts: the correction where there is one. */
export function instantOf(mark: TimeMark): number {
  return Date.parse(mark.correction?.at ?? mark.at);
}

const two = (n: number): string => String(n).padStart(2, '0');

/** Clock time `14:03` at the place the mark was taken, whatever the clock of the reader. */
export function clockText(mark: TimeMark, options: { readonly withSeconds?: boolean } = {}): string {
  return clockOf(instantOf(mark), mark.offsetMinutes, options.withSeconds ?? false);
}

/** Clock time the program itself wrote down, before any correction. */
export function originalClockText(mark: TimeMark): string {
  return clockOf(Date.parse(mark.at), mark.offsetMinutes, false);
}

function clockOf(instant: number, offsetMinutes: number, withSeconds: boolean): string {
  if (!Number.isFinite(instant)) return '–';
  const there = new Date(instant + offsetMinutes * 60_000);
  const text = `${two(there.getUTCHours())}:${two(there.getUTCMinutes())}`;
  return withSeconds ? `${text}:${two(there.getUTCSeconds())}` : text;
}

/** Local clock time `14:03:22` of an ISO instant, in this machine's zone. */
export function localClock(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return '';
  return `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`;
}

/**
 * A mark moved to another clock time of the same local day, keeping what the program wrote down.
 *
 * @param clock `HH:MM`, 24 h
 * @returns null when the clock time cannot be read or no reason is given
 */
export function correctMark(mark: TimeMark, clock: string, reason: string): TimeMark | null {
  const match = /^([01]?\d|2[0-3]):([0-5]\d)$/u.exec(clock.trim());
  if (match === null || reason.trim() === '') return null;
  const there = new Date(Date.parse(mark.at) + mark.offsetMinutes * 60_000);
  there.setUTCHours(Number(match[1]), Number(match[2]), 0, 0);
  const at = new Date(there.getTime() - mark.offsetMinutes * 60_000).toISOString();
  return { ...mark, correction: { at, reason: reason.trim() } };
}

const dayMs = 24 * 3_600_000;

/** A running clock's face; one left running over a day was forgotten, and says so instead. */
export const clockFace = (elapsedMs: number, isRunning: boolean): string =>
  isRunning && elapsedMs > dayMs ? 'not ended' : runningText(elapsedMs);

/** A stretch of time as a running clock shows it: `4:07`, `1:02:30`. */
export function runningText(elapsedMs: number): string {
  const seconds = Math.max(0, Math.floor(elapsedMs / 1000));
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor(seconds / 60) % 60;
  return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}
