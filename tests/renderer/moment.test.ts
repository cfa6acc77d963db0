import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { calendarDay, readDay, shiftedDay } from '../../renderer/components/moment.ts';

describe('readDay', () => {
  it.each([
    ['25 Nov 2026', '2026-11-25'],
    ['25 November 2026', '2026-11-25'],
    [' 5. sept 2026 ', '2026-09-05'],
    ['Nov 25, 2026', '2026-11-25'],
    ['1st June 2026', '2026-06-01'],
    ['25.11.2026', '2026-11-25'],
    ['2026-11-25', '2026-11-25'],
    ['29 Feb 2028', '2028-02-29'],
  ])('reads %s', (text, day) => {
    expect(readDay(text)).toBe(day);
  });

  // Figures between strokes mean different days in different countries.
  it.each([
    '11/25/2026',
    '3/4/2026',
    '31 Feb 2026',
    '29 Feb 2027',
    '25 Nov',
    'Nov 2026',
    '',
    '25 Foo 2026',
    '0 May 2026',
  ])('does not read %s', (text) => {
    expect(readDay(text)).toBeNull();
  });

  it('reads every day as it is shown', () => {
    const days = fc.date({ min: new Date('1900-01-01'), max: new Date('2199-12-31'), noInvalidDate: true });
    fc.assert(
      fc.property(days, (date) => {
        const day = date.toISOString().slice(0, 10);
        expect(readDay(calendarDay(day))).toBe(day);
      }),
    );
  });
});

describe('shiftedDay', () => {
  it('goes over the ends of months and years, and leaves what is no day', () => {
    expect(shiftedDay('2026-12-31', 1)).toBe('2027-01-01');
    expect(shiftedDay('2028-03-01', -1)).toBe('2028-02-29');
    expect(shiftedDay('', 1)).toBe('');
  });
});
