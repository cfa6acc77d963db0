const dayMs = 86_400_000;

/**
 * Beginning of a practical: a Tuesday, ten past one, so many weeks before the last one.
 *
 * @param nowMs the present, milliseconds since 1970
 * @param offsetMinutes minutes east of UTC
 */
export function practicalStart(nowMs: number, offsetMinutes: number, weeksAgo: number): number {
  const localMs = nowMs + offsetMinutes * 60_000;
  const midnight = Math.floor(localMs / dayMs) * dayMs;
  const weekday = new Date(midnight).getUTCDay();
  // At least three days back: what was dried until Thursday has been weighed by now.
  const sinceTuesday = ((weekday + 7 - 2) % 7) + ((weekday + 7 - 2) % 7 < 3 ? 7 : 0);
  return midnight - (sinceTuesday + 7 * weeksAgo) * dayMs + (13 * 60 + 10) * 60_000 - offsetMinutes * 60_000;
}

/** Local calendar date of an instant. */
export const dateOf = (ms: number, offsetMinutes: number): string =>
  new Date(ms + offsetMinutes * 60_000).toISOString().slice(0, 10);
