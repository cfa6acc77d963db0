/**
 * How long to wait after wrong passphrases. Three are free; then 2, 4, 8 … s up to 15 min. The
 * delay slows someone at the keyboard; a stolen file is held back by scrypt, not by this.
 */
const freeAttempts = 3;
const longestWaitSeconds = 15 * 60;

/** Seconds to wait before the next try after `failures` wrong ones in a row. */
export function retryWaitSeconds(failures: number): number {
  if (!(failures >= freeAttempts)) return 0;
  return Math.min(2 ** (failures - freeAttempts + 1), longestWaitSeconds);
}

/**
 * Seconds still to wait now; 0 when the next try may be made.
 *
 * @param failures wrong passphrases since the last right one
 * @param lastFailureAt instant of the last wrong one, UTC ISO 8601, or null
 * @param now UTC ISO 8601. Setting the clock back does not shorten the wait
 * @param sureSeconds seconds since the last wrong one was first known of, by a clock nobody can set. They
 *   count where `now` lies before the last wrong one: a clock that was ahead for a while and was put right
 *   must not shut anybody out until that time comes round again
 */
export function remainingWaitSeconds(
  failures: number,
  lastFailureAt: string | null,
  now: string,
  sureSeconds = 0,
): number {
  const wait = retryWaitSeconds(failures);
  if (wait === 0 || lastFailureAt === null) return 0;
  const elapsed = (Date.parse(now) - Date.parse(lastFailureAt)) / 1000;
  return Math.max(0, Math.ceil(wait - (elapsed >= 0 ? elapsed : sureSeconds)));
}
