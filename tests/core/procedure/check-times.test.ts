import { describe, expect, it } from 'vitest';
import { checkTimes } from '../../../core/procedure/check-times.ts';
import { durationText, instantOfText, minutesBetween } from '../../../core/procedure/time-marks.ts';
import type { StepRecord, TimeMark } from '../../../core/record/content.ts';

const mark = (at: string, correction: TimeMark['correction'] = null): TimeMark => ({
  at,
  offsetMinutes: 120,
  correction,
});
const now = '2026-03-02T12:00:00.000Z';
const steps = [{ id: 's', text: '', caution: '', limits: [], holdPoint: '', plannedMinutes: null }];
const check = (record: Partial<StepRecord>, at: string | null = now) =>
  checkTimes(
    {
      steps,
      stepRecords: [
        { stepId: 's', started: null, done: null, readings: [], seen: '', deviation: '', ...record },
      ],
      notes: [],
    },
    at,
  ).map((one) => `${one.code} ${one.where}`);

describe('checkTimes', () => {
  const early = mark('2026-03-02T09:00:00.000Z');
  const late = mark('2026-03-02T10:00:00.000Z');
  it('finds nothing in times that are in order', () =>
    expect(check({ started: early, done: late })).toEqual([]));
  it('done before started', () =>
    expect(check({ started: late, done: early })).toEqual(['done-before-started stepRecords.s.done']));
  it('a time in the future, but not by the two minutes that clocks differ', () => {
    expect(check({ started: mark('2026-03-03T09:00:00.000Z') })).toEqual([
      'time-in-future stepRecords.s.started',
    ]);
    expect(check({ started: mark('2026-03-02T12:01:00.000Z') })).toEqual([]);
    expect(check({ started: mark('2026-03-03T09:00:00.000Z') }, null)).toEqual([]);
  });
  it('a correction into the future counts as well, and needs a reason', () => {
    const corrected = mark('2026-03-02T09:00:00.000Z', { at: '2027-01-01T00:00:00.000Z', reason: ' ' });
    expect(check({ started: corrected })).toEqual([
      'correction-without-reason stepRecords.s.started',
      'time-in-future stepRecords.s.started',
    ]);
  });
  it('the correction is what counts for the order', () => {
    const corrected = mark('2026-03-02T08:00:00.000Z', {
      at: '2026-03-02T10:30:00.000Z',
      reason: 'ticked too early',
    });
    expect(check({ started: late, done: corrected })).toEqual([]);
  });
  it.each(['yesterday', '', '2026-13-40T99:00:00.000Z', '2026-03-02 09:00'])(
    'a time that cannot be read: %j',
    (at) => expect(check({ started: mark(at) })).toEqual(['time-unreadable stepRecords.s.started']),
  );
  it('looks at readings and notes too', () => {
    const reading = {
      id: 'r',
      kind: 'temperature',
      entered: { text: '5', unit: '°C' },
      mark: mark('x'),
      remark: '',
    } as const;
    expect(check({ readings: [reading] })).toEqual(['time-unreadable stepRecords.s.readings.r']);
    const note = { id: 'n', stepId: null, text: '', mark: mark('2030-01-01T00:00:00.000Z') };
    expect(checkTimes({ steps: [], stepRecords: [], notes: [note] }, now)).toMatchObject([
      { code: 'time-in-future', where: 'notes.n' },
    ]);
  });
});

describe('time marks', () => {
  it('reads UTC instants only', () => {
    expect(instantOfText('2026-03-02T09:00:00Z')).toBe(Date.UTC(2026, 2, 2, 9));
    expect(instantOfText('2026-03-02T09:00:00+01:00')).toBeNull();
  });
  it('minutes between two marks', () => {
    expect(minutesBetween(mark('2026-03-02T09:00:00.000Z'), mark('2026-03-02T09:30:30.000Z'))).toBe(30.5);
    expect(minutesBetween(null, mark('2026-03-02T09:30:30.000Z'))).toBeNull();
  });
  it.each([
    [0.75, '45 s'],
    [4.2, '4 min'],
    [70, '70 min'],
    [130, '2 h 10 min'],
    [180, '3 h'],
  ])('%f minutes are "%s"', (minutes, text) =>
    expect(durationText(minutes).replaceAll('\u2009', ' ')).toBe(text),
  );
});
