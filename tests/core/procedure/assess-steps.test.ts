import { describe, expect, it } from 'vitest';
import { assessSteps } from '../../../core/procedure/assess-steps.ts';
import type { StepAssessment } from '../../../core/procedure/assess-steps.ts';
import type { PlannedStep, Reading, StepLimit, StepRecord, TimeMark } from '../../../core/record/content.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { entered } from '../reaction/make-table.ts';

const mark = (clock: string): TimeMark => ({
  at: `2026-03-02T${clock}.000Z`,
  offsetMinutes: 60,
  correction: null,
});
const limit = (kind: StepLimit['kind'], from: string | null, to: string | null): StepLimit => ({
  kind,
  from: from === null ? null : entered(from),
  to: to === null ? null : entered(to),
});
const reading = (kind: Reading['kind'], typed: string, id = typed): Reading => ({
  id,
  kind,
  entered: entered(typed),
  mark: mark('09:05:00'),
  remark: '',
});

function assess(
  limits: readonly StepLimit[],
  record: Partial<StepRecord> | null,
  plannedMinutes: string | null = null,
): StepAssessment {
  const step: PlannedStep = {
    id: 's',
    text: '',
    caution: '',
    limits,
    holdPoint: '',
    plannedMinutes: plannedMinutes === null ? null : entered(plannedMinutes),
  };
  const whole: StepRecord = {
    stepId: 's',
    started: null,
    done: null,
    readings: [],
    seen: '',
    deviation: '',
    ...record,
  };
  const [found] = assessSteps({ steps: [step], stepRecords: record === null ? [] : [whole] });
  if (found === undefined) throw new Error('no assessment');
  return found;
}
const sentences = (found: StepAssessment): readonly string[] =>
  found.exceedances.map((one) => one.sentence.replaceAll('\u2009', ' '));

describe('assessSteps', () => {
  it('a step without a record is open and lacks nothing', () => {
    expect(assess([limit('temperature', null, '60 °C')], null)).toMatchObject({
      state: 'open',
      exceedances: [],
      isExplained: true,
      foldText: '',
    });
  });

  it.each([
    ['66 °C', ['6 °C too warm'], 'above'],
    ['60 °C', [], 'within'],
    ['60.5 °C', ['0.5 °C too warm'], 'above'],
    ['48 °C', ['2 °C too cold'], 'below'],
    ['339.15 K', ['6 °C too warm'], 'above'],
  ])('50 to 60 °C, read %s: %j', (typed, expected, verdict) => {
    const found = assess([limit('temperature', '50 °C', '60 °C')], {
      readings: [reading('temperature', typed)],
    });
    expect(sentences(found)).toEqual(expected);
    expect(found.readings).toEqual([{ readingId: typed, verdict }]);
  });

  it('of several readings the worst counts, on each side', () => {
    const found = assess([limit('temperature', '50 °C', '60 °C')], {
      readings: ['45 °C', '62 °C', '66 °C', '55 °C'].map((typed) => reading('temperature', typed)),
    });
    expect(sentences(found)).toEqual(['5 °C too cold', '6 °C too warm']);
    expect(found.readings.map((one) => one.verdict)).toEqual(['below', 'above', 'above', 'within']);
  });

  it('takes a duration from the marks of the step, corrected ones first', () => {
    const duration = limit('duration', '10 min', '15 min');
    const times = { started: mark('09:00:00'), done: mark('09:19:10') };
    expect(sentences(assess([duration], times))).toEqual(['4 min longer']);
    const corrected = {
      ...times,
      done: { ...mark('09:19:10'), correction: { at: '2026-03-02T09:14:00.000Z', reason: 'ticked late' } },
    };
    expect(assess([duration], corrected).exceedances).toEqual([]);
  });
  it('a duration given to the minute is kept to the half minute', () => {
    const duration = limit('duration', '10 min', '15 min');
    const ending = (clock: string) =>
      assess([duration], { started: mark('09:00:00'), done: mark(clock) }).exceedances;
    expect(ending('09:15:25')).toEqual([]);
    expect(ending('09:15:40')).toHaveLength(1);
    expect(ending('09:09:35')).toEqual([]);
    expect(ending('09:08:00')).toMatchObject([{ sentence: '2\u2009min shorter' }]);
  });
  it('what the student timed goes before the marks, which also hold the setting-up', () => {
    const found = assess([limit('duration', null, '15 min')], {
      started: mark('09:00:00'),
      done: mark('10:00:00'),
      readings: [reading('duration', '15 min')],
    });
    expect(found.exceedances).toEqual([]);
  });
  it('says nothing of a duration while the step is not done', () => {
    expect(assess([limit('duration', null, '1 min')], { started: mark('09:00:00') })).toMatchObject({
      state: 'started',
      duration: null,
      exceedances: [],
    });
  });
  it('judges a rate of addition in its own unit and leaves another kind of rate alone', () => {
    const rate = limit('addition-rate', null, '1.0 mL/min');
    expect(sentences(assess([rate], { readings: [reading('rate', '1.5 mL/min')] }))).toEqual([
      '0.5 mL/min too fast',
    ]);
    expect(assess([rate], { readings: [reading('rate', '20 drops/min')] })).toMatchObject({
      exceedances: [],
      readings: [{ verdict: 'no-limit' }],
    });
  });
  it('a deviation is explained by a word at the step', () => {
    const record = { readings: [reading('temperature', '70 °C')] };
    const window = [limit('temperature', null, '60 °C')];
    expect(assess(window, record).isExplained).toBe(false);
    expect(assess(window, { ...record, deviation: 'bath ran away' }).isExplained).toBe(true);
  });
  it('the fold also says when a step took much longer than planned', () => {
    const record = { started: mark('09:00:00'), done: mark('09:40:00') };
    expect(assess([], record, '30 min').foldText).toBe('10\u2009min longer');
    expect(assess([], record, '38 min').foldText).toBe('');
    expect(assess([], record, '30 min').againstPlan).toMatchObject({ value: 10, unit: 'min' });
  });
  it('a reading or limit that cannot be read is named and judged no further', () => {
    const found = assess([limit('temperature', null, '6o °C')], {
      readings: [reading('temperature', '55 °C')],
    });
    expect(found.problems).toMatchObject([{ code: 'number-unreadable', where: 'steps.s.limits.0.to' }]);
    const hot = assess([limit('temperature', '50 °C', '60 °C')], {
      readings: [reading('temperature', 'hot °C', 'r')],
    });
    expect(hot.readings).toEqual([{ readingId: 'r', verdict: 'unreadable' }]);
    expect(hot.problems).toHaveLength(1);
  });
  it('times the wrong way round give no duration', () => {
    expect(assess([], { started: mark('10:00:00'), done: mark('09:00:00') })).toMatchObject({
      duration: null,
      state: 'done',
    });
  });
});

describe('a limit typed the wrong way round', () => {
  it.each<[StepLimit['kind'], string, string]>([
    ['temperature', '10 °C', '5 °C'],
    ['temperature', '5 °C', '−5 °C'],
    ['duration', '1 h', '30 min'],
    ['addition-rate', '2 mL/min', '1 mL/min'],
  ])('%s from %s to %s is questioned at its place', (kind, from, to) => {
    const { problems } = assess([limit(kind, null, null), limit(kind, from, to)], null);
    expect(problems).toMatchObject([
      { code: 'limit-reversed', where: 'steps.s.limits.1', facts: { step: 1 } },
    ]);
    expect(problems.map(problemSentence).join()).toContain('is the wrong way round');
  });
  it.each<[StepLimit['kind'], string | null, string | null]>([
    ['temperature', '5 °C', '10 °C'],
    ['temperature', '5 °C', '5 °C'],
    ['temperature', '−10 °C', '0 °C'],
    ['temperature', '0 °C', '280 K'],
    ['duration', '90 min', '2 h'],
    ['temperature', null, '5 °C'],
    ['temperature', '10 °C', ''],
    // Drops and millilitres cannot be held against each other.
    ['addition-rate', '60 drops/min', '2 mL/min'],
  ])('%s from %s to %s is in order', (kind, from, to) =>
    expect(assess([limit(kind, from, to)], null).problems).toEqual([]),
  );
  it('finds no fault with the record for it: 7 °C is neither too cold for 10 nor too warm for 5', () => {
    const found = assess([limit('temperature', '10 °C', '5 °C')], {
      readings: [reading('temperature', '7 °C')],
    });
    expect(found.exceedances).toEqual([]);
    expect(found.readings).toEqual([{ readingId: '7 °C', verdict: 'no-limit' }]);
  });
});
