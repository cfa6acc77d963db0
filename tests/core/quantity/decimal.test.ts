import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseDecimal, roundAtPlace } from '../../../core/quantity/decimal.ts';

const read = (text: string) => {
  const result = parseDecimal(text);
  if (!result.ok) throw new Error(`${text}: ${result.error.code}`);
  return result.value;
};
const refusal = (text: string) => {
  const result = parseDecimal(text);
  if (result.ok) throw new Error(`${text} was read as ${result.value.value}`);
  return result.error;
};

describe('parseDecimal', () => {
  it.each([
    ['4.50', 4.5, 3, 2],
    ['100', 100, 3, 0],
    ['0.05', 0.05, 1, 2],
    ['0.050', 0.05, 2, 3],
    ['.5', 0.5, 1, 1],
    ['5.', 5, 1, 0],
    ['007', 7, 1, 0],
    ['1.5e-3', 0.0015, 2, 4],
    ['1.5E3', 1500, 2, -2],
    ['1.5×10^-3', 0.0015, 2, 4],
    ['1.5 × 10⁻³', 0.0015, 2, 4],
    ['2.46 x 10^3', 2460, 3, -1],
    ['−12.35', -12.35, 4, 2],
    ['-12.35', -12.35, 4, 2],
    ['+3.0', 3, 2, 1],
    ['  2.00\t', 2, 3, 2],
  ])('reads %j', (text, value, significantFigures, decimalPlaces) => {
    expect(read(text)).toMatchObject({ text: text.trim(), value, significantFigures, decimalPlaces });
  });

  it('keeps the decimals of a zero and gives it no sign', () => {
    expect(read('0.00')).toMatchObject({ value: 0, decimalPlaces: 2, significantFigures: 3 });
    expect(Object.is(read('-0').value, 0)).toBe(true);
  });

  it.each([
    ['', 'number-missing', 0],
    ['   ', 'number-missing', 0],
    ['1,5', 'number-comma', 1],
    [' 1,5', 'number-comma', 2],
    ['1,234.5', 'number-comma', 1],
    ['１２', 'number-digits', 0],
    ['4٫5', 'number-comma', 1],
    ['٤.٥', 'number-digits', 0],
    ['4½', 'number-digits', 1],
    ['1 000', 'number-spaced', 1],
    ['28 683.5', 'number-spaced', 2],
    ['NaN', 'number-unreadable', 0],
    ['Infinity', 'number-unreadable', 0],
    ['∞', 'number-unreadable', 0],
    ['1e999', 'number-too-large', 0],
    ['1e-999', 'number-too-small', 0],
    ['12g', 'number-unreadable', 2],
    ['1.2.3', 'number-unreadable', 3],
    ['--2', 'number-unreadable', 1],
    ['-', 'number-unreadable', 0],
    ['1e', 'number-unreadable', 1],
    ['0x10', 'number-unreadable', 1],
    ['😀', 'number-unreadable', 0],
    ['5😀', 'number-unreadable', 1],
    ['1'.repeat(61), 'number-too-long', 60],
  ])('refuses %j as %s at %i', (text, code, position) => {
    expect(refusal(text)).toMatchObject({ code, position });
  });
});

describe('roundAtPlace', () => {
  // Half to even on the decimal digits: OpenStax Chemistry 2e, 1.5, worked examples.
  it.each([
    [31.57, 0, '32'],
    [8.1649, -2, '8.16'],
    [0.051065, -5, '0.05106'],
    [0.90275, -4, '0.9028'],
    [28683.5, 0, '28684'],
  ])('rounds %d at 10^%i to %s (OpenStax Chemistry 2e, 1.5)', (value, place, expected) => {
    expect(roundAtPlace(value, place)).toBe(expected);
  });

  // IEEE 754 cannot hold 1.005, 2.675 or 0.285; the nearest double lies below the tie.
  it.each([
    ['1.005', -2, '1.00'],
    ['1.015', -2, '1.02'],
    ['2.675', -2, '2.68'],
    ['0.285', -2, '0.28'],
    ['1.0051', -2, '1.01'],
    ['0.5', 0, '0'],
    ['1.5', 0, '2'],
    ['2.5', 0, '2'],
    ['-2.5', 0, '-2'],
    ['-0.4', 0, '0'],
    ['9.9996', -3, '10.000'],
    ['99.5', 0, '100'],
    ['0.0996', -3, '0.100'],
    ['15', 1, '20'],
    ['25', 1, '20'],
    ['4', 1, '0'],
    ['0', -2, '0.00'],
    ['1e-7', -2, '0.00'],
    ['123456789012345678901234567890', -1, '123456789012345678901234567890.0'],
  ])('rounds the text %s at 10^%i to %s', (text, place, expected) => {
    expect(roundAtPlace(text, place)).toBe(expected);
  });

  it('agrees with exact integer arithmetic on any decimal text', () => {
    fc.assert(
      fc.property(
        fc.bigInt({ min: -(10n ** 18n), max: 10n ** 18n }),
        fc.integer({ min: 0, max: 12 }),
        fc.integer({ min: 0, max: 12 }),
        (digits, decimals, keep) => {
          const dropped = decimals - keep;
          const magnitude = digits < 0n ? -digits : digits;
          const scale = 10n ** BigInt(Math.max(0, dropped));
          const quotient = magnitude / scale;
          const twice = (magnitude % scale) * 2n;
          const isUp = twice > scale || (twice === scale && quotient % 2n === 1n);
          const expected = (quotient + (isUp ? 1n : 0n)) * 10n ** BigInt(Math.max(0, -dropped));
          const rounded = roundAtPlace(place(digits, decimals), -keep);
          const [whole = '', fraction = ''] = rounded.replace('-', '').split('.');
          expect(fraction.length).toBe(keep);
          expect(BigInt(whole + fraction)).toBe(expected);
          expect(rounded.startsWith('-')).toBe(digits < 0n && expected > 0n);
        },
      ),
    );
  });
});

/** Writes digits · 10^−decimals as plain decimal text. */
function place(digits: bigint, decimals: number): string {
  const text = (digits < 0n ? -digits : digits).toString().padStart(decimals + 1, '0');
  const cut = text.length - decimals;
  return `${digits < 0n ? '-' : ''}${text.slice(0, cut)}${decimals === 0 ? '' : `.${text.slice(cut)}`}`;
}
