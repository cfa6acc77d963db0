import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert, dimensionOf } from '../../../core/quantity/convert.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import { units } from '../../../core/quantity/unit.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const quantity = (value: number, unit: UnitSymbol, figures = 3, u: number | null = null): Quantity => ({
  value,
  unit,
  standardUncertainty: u,
  significantFigures: figures,
});
const symbols = Object.keys(units) as UnitSymbol[];
const pairs = symbols.flatMap((from) =>
  symbols.filter((to) => dimensionOf(from) === dimensionOf(to)).map((to) => [from, to] as const),
);

describe('convert', () => {
  it.each([
    // SI prefixes and exact definitions: SI Brochure, 9th ed.
    [2.3, 'mg', 'g', 0.0023],
    [0.1, 'g', 'mg', 100],
    [4.7, 'L', 'mL', 4700],
    [4.7, 'L', 'µL', 4_700_000],
    [0.15, 'mol/L', 'mmol/L', 150],
    [1082, 'kg/m³', 'g/mL', 1.082],
    [90, 'min', 'h', 1.5],
    [1, 'atm', 'kPa', 101.325],
    // 760 mmHg is one atmosphere to better than 1 part in a million: NIST SP 811, B.8.
    [760, 'mmHg', 'atm', 1],
    [25.0, '°C', 'K', 298.15],
    [24.3, '°C', 'K', 297.45],
    [0, 'K', '°C', -273.15],
  ] as const)('%d %s in %s is %d', (value, from, to, expected) => {
    expect(convert(quantity(value, from), to).value).toBe(expected);
  });

  it('takes the uncertainty along and keeps the figures', () => {
    expect(convert(quantity(2.5, 'g', 3, 0.01), 'mg')).toEqual(quantity(2500, 'mg', 3, 10));
  });

  it('keeps the decimal place, not the figures, between °C and K', () => {
    expect(convert(quantity(25, '°C', 2), 'K').significantFigures).toBe(3);
    expect(convert(quantity(24.9, '°C', 3, 0.2), 'K')).toMatchObject({
      significantFigures: 4,
      standardUncertainty: 0.2,
    });
    expect(convert(quantity(298.15, 'K', 5), '°C').significantFigures).toBe(4);
  });

  it('treats another dimension as a bug', () => {
    expect(() => convert(quantity(1, 'g'), 'mL')).toThrow(/cannot become/);
  });

  it('comes back to where it began', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(value, fc.constantFrom(...pairs), (start, [from, to]) => {
        const there = convert(quantity(start, from, 4, Math.abs(start) / 100), to);
        const back = convert(there, from);
        const slack =
          dimensionOf(from) === 'temperature' ? 1e-9 : Math.abs(start) * 4e-16 + Number.MIN_VALUE * 1e6;
        expect(Math.abs(back.value - start)).toBeLessThanOrEqual(slack);
        expect(Number.isFinite(there.value)).toBe(true);
      }),
    );
  });
});
