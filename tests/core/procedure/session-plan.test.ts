import { describe, expect, it } from 'vitest';
import { fitSession, planSession } from '../../../core/procedure/session-plan.ts';
import type { PlannedStep } from '../../../core/record/content.ts';
import { entered } from '../reaction/make-table.ts';

const step = (id: string, minutes: string | null, holdPoint = ''): PlannedStep => ({
  id,
  text: '',
  caution: '',
  limits: [],
  holdPoint,
  plannedMinutes: minutes === null ? null : entered(minutes),
});
const procedure = [
  step('weigh', '10 min'),
  step('heat', '1.5 h', 'may stand overnight, stoppered'),
  step('crystallise', '45 min', 'crystals may stand in the mother liquor'),
  step('filter', '20 min'),
  step('dry', '600 s'),
];

describe('planSession', () => {
  it('adds up the times, in whatever unit, and finds the longest stretch between hold points', () => {
    const plan = planSession(procedure);
    expect(plan.totalMinutes).toBe(175);
    expect(plan.stretches.map((one) => [one.fromStepId, one.toStepId, one.minutes])).toEqual([
      ['weigh', 'heat', 100],
      ['crystallise', 'crystallise', 45],
      ['filter', 'dry', 30],
    ]);
    expect(plan.longest?.toStepId).toBe('heat');
    expect(plan.starts.map((one) => one.minutes)).toEqual([0, 10, 100, 145, 165]);
  });
  it('names steps without a time, which make the total too short', () => {
    const plan = planSession([step('a', null), step('b', ' min'), step('c', 'long min'), step('d', '5 min')]);
    expect(plan.untimedStepIds).toEqual(['a', 'b', 'c']);
    expect(plan.problems).toMatchObject([{ where: 'steps.c.plannedMinutes' }]);
    expect(fitSession(plan, 60)).toMatchObject({ fits: false, isComplete: false });
  });
  it('an empty procedure takes no time', () => {
    expect(planSession([])).toMatchObject({ totalMinutes: 0, longest: null, stretches: [] });
  });
});

describe('fitSession', () => {
  const plan = planSession(procedure);
  it('fits, with so much to spare', () =>
    expect(fitSession(plan, 180)).toMatchObject({ fits: true, spareMinutes: 5, leaveAt: null }));
  it('does not fit: where to leave it', () => {
    expect(fitSession(plan, 150)).toMatchObject({ fits: false, spareMinutes: -25 });
    expect(fitSession(plan, 150).leaveAt?.toStepId).toBe('crystallise');
    expect(fitSession(plan, 90)).toMatchObject({ leaveAt: null });
  });
  it('names what fits into no session of this length', () => {
    expect(fitSession(plan, 90).tooLong.map((one) => one.toStepId)).toEqual(['heat']);
  });
  it.each([0, -5, NaN, Infinity])('%f minutes fit nothing', (minutes) =>
    expect(fitSession(plan, minutes).fits).toBe(false),
  );
});
