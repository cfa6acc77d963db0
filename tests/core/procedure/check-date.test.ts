import { describe, expect, it } from 'vitest';
import { checkDate, checkDateAgainstTimes } from '../../../core/procedure/check-date.ts';
import { problemSentence } from '../../../core/wording/index.ts';

// Limits of a year ahead, two years back and a month from the times: common practice, no source.
describe('checkDate', () => {
  it.each([
    ['2026-11-25', null],
    ['2027-11-26', null],
    ['2027-11-27', 'date-far-ahead'],
    ['2099-01-01', 'date-far-ahead'],
    ['2024-11-24', null],
    ['2024-11-22', 'date-far-back'],
    ['1926-11-25', 'date-far-back'],
    ['0026-11-25', 'date-far-back'],
    ['not a date', null],
    ['2026-13-45', null],
    ['', null],
  ])('%s on 25 November 2026: %s', (date, code) =>
    expect(checkDate(date, '2026-11-25')?.code ?? null).toBe(code),
  );
  it('asks, at the date, and does not judge', () => {
    const doubt = checkDate('2099-01-01', '2026-11-25');
    expect(doubt).toMatchObject({ where: 'date' });
    expect(doubt === null ? '' : problemSentence(doubt)).toBe(
      'The practical is dated 1 January 2099, more than a year from now. Is that meant?',
    );
  });
  it('says nothing when the present cannot be read', () =>
    expect(checkDate('2099-01-01', 'today')).toBeNull());
});

describe('checkDateAgainstTimes', () => {
  const at = (...instants: string[]) => ({
    date: '2026-03-02',
    stepRecords: instants.map((one, index) => ({
      stepId: `s${index}`,
      started: { at: one, offsetMinutes: 60, correction: null },
      done: null,
      readings: [],
      seen: '',
      deviation: '',
    })),
  });
  it.each([
    [['2026-03-02T09:00:00.000Z'], false],
    // A preparation that takes two weeks: only the first time counts.
    [['2026-03-02T09:00:00.000Z', '2026-05-20T09:00:00.000Z'], false],
    [['2026-03-30T09:00:00.000Z'], false],
    [['2026-11-25T09:00:00.000Z'], true],
    [['2025-03-02T09:00:00.000Z'], true],
    [['unreadable'], false],
    [[], false],
  ])('%j: %s', (instants, isAsked) =>
    expect(checkDateAgainstTimes(at(...instants))?.code).toBe(isAsked ? 'date-far-from-times' : undefined),
  );
});
