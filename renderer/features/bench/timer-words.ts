import { convert } from '../../../core/quantity/convert.ts';
import { parseEntered } from '../../../core/quantity/entered.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { PlannedStep } from '../../../core/record/content.ts';
import { runningText } from '../../draft/time-marks.ts';

export interface TimerState {
  /** `open`: no limit asked for; `before`, `within`, `past`: where the clock stands in the window. */
  readonly kind: 'open' | 'before' | 'within' | 'past';
  readonly text: string;
  /** Share of the way to the lower limit (or to the upper, where there is no lower), 0 to 1. */
  readonly share: number;
}

function minutes(entered: Entered | null): number | null {
  if (entered === null) return null;
  const parsed = parseEntered(entered, 'time', '');
  return parsed.ok ? convert(parsed.value, 'min').value : null;
}

/**
 * Where a running step stands against the time it is given: its own limit, else its planned time,
 * which is no limit and is only counted down to.
 *
 * @param elapsedMs since the step was started
 */
export function timerState(step: PlannedStep, elapsedMs: number): TimerState {
  const limit = step.limits.find((one) => one.kind === 'duration') ?? null;
  const from = minutes(limit?.from ?? (limit === null ? step.plannedMinutes : null));
  const to = minutes(limit?.to ?? null);
  const gone = elapsedMs / 60_000;
  const ms = (min: number): number => min * 60_000;
  if (from !== null && gone < from) {
    return { kind: 'before', text: `${runningText(ms(from) - elapsedMs)} to go`, share: gone / from };
  }
  if (to !== null && gone > to) {
    return { kind: 'past', text: `${runningText(elapsedMs - ms(to))} over the time`, share: 1 };
  }
  if (to !== null) {
    return {
      kind: 'within',
      text: `in the window, ${runningText(ms(to) - elapsedMs)} left`,
      share: from === null ? gone / to : 1,
    };
  }
  if (from !== null) {
    const word = limit === null ? 'planned time is over' : 'time is reached';
    return { kind: 'within', text: word, share: 1 };
  }
  return { kind: 'open', text: '', share: 0 };
}
