import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  formatNumber,
  formatQuantity,
  formatUncertainty,
  formatWithUncertainty,
} from '../../../core/quantity/format.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const thin = '\u2009';
const quantity = (
  value: number,
  unit: UnitSymbol,
  figures: number | null,
  u: number | null = null,
): Quantity => ({
  value,
  unit,
  standardUncertainty: u,
  significantFigures: figures,
});

describe('formatNumber', () => {
  it.each([
    // OpenStax Chemistry 2e, 1.5, rounding exercises.
    [31.57, 2, '32'],
    [8.1649, 3, '8.16'],
    [0.051065, 4, '0.05106'],
    [0.90275, 4, '0.9028'],
    [28683.5, 5, '28684'],
    [486 - 421.23, 2, '65'],
    [0.6238 * 6.6, 2, '4.1'],
    [421.23 / 486, 3, '0.867'],
    // Own: the double nearest to 1.005 lies below it.
    [1.005, 3, '1.00'],
    [2, 3, '2.00'],
    [-12.35, 4, '−12.35'],
    [9.996, 3, '10.0'],
    [0, 3, '0.00'],
    [0, 1, '0'],
    [1234567, 7, '1234567'],
    [2458, 3, `2.46${thin}×${thin}10³`],
    [0.00012345, 3, `1.23${thin}×${thin}10⁻⁴`],
    [-6.02214076e23, 4, `−6.022${thin}×${thin}10²³`],
    [1e-7, 1, `1${thin}×${thin}10⁻⁷`],
  ])('writes %d to %i figures as %s', (value, figures, expected) => {
    expect(formatNumber(value, figures)).toBe(expected);
  });

  it('writes an exact number as it is, without binary dust', () => {
    expect(formatNumber(3, null)).toBe('3');
    expect(formatNumber(0.1 + 0.2, null)).toBe('0.3');
    expect(formatNumber(-2.5, null)).toBe('−2.5');
    expect(formatNumber(1e21, null)).toBe(`1${thin}×${thin}10²¹`);
  });

  it('reads back, within half a unit of its last digit, as the number it was', () => {
    const value = fc.double({ min: -1e20, max: 1e20, noNaN: true, noDefaultInfinity: true });
    fc.assert(
      fc.property(value, fc.integer({ min: 1, max: 12 }), (number, figures) => {
        fc.pre(number === 0 || Math.abs(number) > 1e-80);
        const text = formatNumber(number, figures);
        expect(text).not.toMatch(/NaN|Infinity|e|-/);
        const plain = text
          .replace(/[⁰¹²³⁴⁵⁶⁷⁸⁹]/g, (one) => String('⁰¹²³⁴⁵⁶⁷⁸⁹'.indexOf(one)))
          .replace('⁻', '-')
          .replaceAll('−', '-')
          .replace(`${thin}×${thin}10`, 'e');
        expect(Math.abs(Number(plain) - number)).toBeLessThanOrEqual(
          Math.abs(number) * 0.5001 * 10 ** (1 - figures),
        );
      }),
    );
  });
});

describe('formatQuantity', () => {
  it('puts a thin space before the unit and none after a pure number', () => {
    expect(formatQuantity(quantity(2.5, 'g', 3))).toEqual({
      number: '2.50',
      unit: 'g',
      text: `2.50${thin}g`,
    });
    expect(formatQuantity(quantity(3.66, '1', 3)).text).toBe('3.66');
    expect(formatQuantity(quantity(4, 'Δ°C', 1)).text).toBe(`4${thin}°C`);
  });

  it('lets a known uncertainty decide the last digit', () => {
    // JCGM 100:2008, 7.2.6.
    expect(formatQuantity(quantity(2.6089, 'g', 3, 0.011)).number).toBe('2.609');
    expect(formatQuantity(quantity(2.6089, 'g', 3, 0.4)).number).toBe('2.6');
    expect(formatQuantity(quantity(0.0004, 'g', 1, 0.05)).number).toBe('0.00');
    expect(formatQuantity(quantity(99.96, '%', 4, 0.5)).number).toBe('100.0');
  });
});

describe('formatWithUncertainty', () => {
  it.each([
    // Eurachem/CITAC Guide, example A1: 1002.7 mg/L, u = 0.9 (0.86 before rounding).
    [1002.69972, 0.8624, 'mmol/L', `(1002.7 ± 0.9)${thin}mmol/L`],
    // Per cent yield computed outside this program: 81.47 %, u = 0.24.
    [81.472, 0.2384, '%', `(81.47 ± 0.24)${thin}%`],
    [2458, 50, 'g', `(2.46 ± 0.05)${thin}×${thin}10³${thin}g`],
    [0.9996, 0.0003, '1', '0.99960 ± 0.00030'],
    [0.3, 5, 'g', `(0 ± 5)${thin}g`],
    // A difference that means nothing beside its uncertainty is not dressed in powers of ten.
    [3, 70, '%', `(0 ± 70)${thin}%`],
    [-4, 68, '%', `(0 ± 70)${thin}%`],
    [310, 70, '%', `(3.1 ± 0.7)${thin}×${thin}10²${thin}%`],
  ] as const)('writes %d with u = %d %s as %s', (value, u, unit, expected) => {
    expect(formatWithUncertainty(quantity(value, unit, 3, u)).text).toBe(expected);
  });

  it('widens by the coverage factor', () => {
    // JCGM 100:2008, 6.2.1: U = 2 × 0.2384 = 0.4768 %.
    expect(formatWithUncertainty(quantity(81.472, '%', 4, 0.2384), 2).text).toBe(`(81.5 ± 0.5)${thin}%`);
  });

  it('says nothing about an uncertainty it does not know', () => {
    expect(formatWithUncertainty(quantity(2.5, 'g', 3)).uncertainty).toBeNull();
  });

  it('shows at most two digits of u, at the same place as the value', () => {
    const positive = fc.double({ min: 1e-9, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), positive, (value, u) => {
        const { number, uncertainty } = formatWithUncertainty(quantity(value, 'g', 3, u));
        const decimals = (text: string) => /\.(\d*)/.exec(text)?.[1]?.length ?? 0;
        expect(decimals(number)).toBe(decimals(uncertainty ?? ''));
        const digits = (uncertainty ?? '')
          .replace(/\u2009.*/, '')
          .replace('.', '')
          .replace(/^0+/, '')
          // Beside a plain 0 the zeros before the point only hold places.
          .replace(number === '0' ? /0+$/ : /$^/, '');
        expect(digits.length).toBeLessThanOrEqual(2);
      }),
    );
  });
});

describe('formatUncertainty', () => {
  it.each([
    [0.0001155, '0.00012'],
    [0.008263, '0.008'],
    [0.238, '0.24'],
    [0.86, '0.9'],
    [0.0997, '0.10'],
  ])('writes %d as %s', (u, expected) => {
    expect(formatUncertainty(u)).toBe(expected);
  });
});
