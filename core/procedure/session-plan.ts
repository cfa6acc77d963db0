import { convert } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { PlannedStep } from '../record/content.ts';
import type { Problem } from '../result.ts';

/** Steps that have to be done in one go: from one hold point (or the beginning) to the next (or the end). */
export interface Stretch {
  readonly fromStepId: string;
  readonly toStepId: string;
  readonly minutes: number;
  /** Where the work may be left after it, as the step says; empty at the end of the procedure. */
  readonly holdPoint: string;
}

export interface SessionPlan {
  readonly totalMinutes: number;
  readonly stretches: readonly Stretch[];
  /** The longest time that has to be worked through without a break; null without steps. */
  readonly longest: Stretch | null;
  /** Planned start of each step in minutes from the beginning, in order. */
  readonly starts: readonly { readonly stepId: string; readonly minutes: number }[];
  /** Steps without a planned time: the totals are too short by them. */
  readonly untimedStepIds: readonly string[];
  readonly problems: readonly Problem[];
}

/**
 * Adds up the planned times of a procedure and finds its hold points.
 *
 * @error within the plan: the codes of `parseEntered` at `steps.<id>.plannedMinutes`
 */
export function planSession(steps: readonly PlannedStep[]): SessionPlan {
  const stretches: Stretch[] = [];
  const starts: { stepId: string; minutes: number }[] = [];
  const untimedStepIds: string[] = [];
  const problems: Problem[] = [];
  let total = 0;
  let from: string | null = null;
  let begun = 0;
  for (const [index, step] of steps.entries()) {
    from ??= step.id;
    starts.push({ stepId: step.id, minutes: total });
    const planned = step.plannedMinutes;
    if (planned === null || planned.text.trim() === '') untimedStepIds.push(step.id);
    else {
      const parsed = parseEntered(planned, 'time', `steps.${step.id}.plannedMinutes`);
      if (parsed.ok) total += convert(parsed.value, 'min').value;
      else {
        problems.push(parsed.error);
        untimedStepIds.push(step.id);
      }
    }
    const holdPoint = step.holdPoint.trim();
    if (holdPoint !== '' || index === steps.length - 1) {
      stretches.push({ fromStepId: from, toStepId: step.id, minutes: total - begun, holdPoint });
      from = null;
      begun = total;
    }
  }
  const longest = stretches.reduce<Stretch | null>(
    (most, one) => (most === null || one.minutes > most.minutes ? one : most),
    null,
  );
  return { totalMinutes: total, stretches, longest, starts, untimedStepIds, problems };
}

export interface SessionFit {
  /** True when the whole procedure fits; false also when a step has no time and nobody can tell. */
  readonly fits: boolean;
  /** Minutes to spare; negative when it does not fit. */
  readonly spareMinutes: number;
  readonly isComplete: boolean;
  /** Last hold point that is reached in time when not everything fits; null when there is none. */
  readonly leaveAt: Stretch | null;
  /** Stretches longer than the session: they fit into no session of this length. */
  readonly tooLong: readonly Stretch[];
}

/**
 * Whether a procedure fits into a session, and where to leave it if it does not.
 *
 * @param availableMinutes length of the session, min, > 0; anything else fits nothing
 */
export function fitSession(plan: SessionPlan, availableMinutes: number): SessionFit {
  const available = Number.isFinite(availableMinutes) && availableMinutes > 0 ? availableMinutes : 0;
  const isComplete = plan.untimedStepIds.length === 0;
  const isLongEnough = plan.totalMinutes <= available;
  let leaveAt: Stretch | null = null;
  let gone = 0;
  for (const stretch of plan.stretches) {
    gone += stretch.minutes;
    if (gone > available) break;
    if (stretch.holdPoint !== '') leaveAt = stretch;
  }
  return {
    fits: isComplete && isLongEnough,
    spareMinutes: available - plan.totalMinutes,
    isComplete,
    leaveAt: isLongEnough ? null : leaveAt,
    tooLong: plan.stretches.filter((one) => one.minutes > available),
  };
}
