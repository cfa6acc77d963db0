import { describe, expect, it } from 'vitest';
import type { Entered } from '../../../core/quantity/quantity.ts';
import { firstUnitOf, isUnit, parseEntered } from '../../../core/quantity/entered.ts';
import { units } from '../../../core/quantity/unit.ts';
import type { Dimension, UnitSymbol } from '../../../core/quantity/unit.ts';

const entered = (text: string, unit: UnitSymbol): Entered => ({ text, unit });

describe('parseEntered', () => {
  it('keeps the value in the unit typed, with its figures and no invented uncertainty', () => {
    expect(parseEntered(entered('4.50', 'mL'), 'volume', 'rows.0.taken')).toEqual({
      ok: true,
      value: { value: 4.5, unit: 'mL', standardUncertainty: null, significantFigures: 3 },
    });
  });

  it.each([
    ['2.0', 'mL', 'mass', 'unit-does-not-fit'],
    ['−2.0', 'g', 'mass', 'quantity-out-of-range'],
    ['2000000', 'g', 'mass', 'quantity-out-of-range'],
    ['0', 'g/mL', 'density', 'quantity-zero'],
    ['125', 'g/mL', 'density', 'quantity-out-of-range'],
    ['101', '% w/w', 'mass-fraction', 'quantity-out-of-range'],
    ['-280', '°C', 'temperature', 'quantity-out-of-range'],
    ['-1', 'K', 'temperature', 'quantity-out-of-range'],
    ['1,5', 'g', 'mass', 'number-comma'],
    ['', 'g', 'mass', 'number-missing'],
  ] as const)('refuses %s %s as %s: %s', (text, unit, dimension, code) => {
    const result = parseEntered(entered(text, unit), dimension, 'rows.2.taken');
    expect(result).toMatchObject({ ok: false, error: { code, where: 'rows.2.taken' } });
  });

  it.each([
    ['0', 'g', 'mass'],
    ['100', '% w/w', 'mass-fraction'],
    ['1150', 'g/L', 'density'],
    ['-78', '°C', 'temperature'],
    ['0', 'K', 'temperature'],
    ['-273.15', '°C', 'temperature'],
  ] as const)('accepts %s %s as %s', (text, unit, dimension) => {
    expect(parseEntered(entered(text, unit), dimension, '').ok).toBe(true);
  });

  it('takes any of several dimensions', () => {
    const either: readonly Dimension[] = ['mass', 'volume'];
    expect(parseEntered(entered('2', 'mL'), either, '').ok).toBe(true);
    expect(parseEntered(entered('2', 'mol'), either, '').ok).toBe(false);
  });

  it('refuses a unit that no list has, also the names every object has', () => {
    for (const unit of ['stone', 'toString', '__proto__', '']) {
      expect(isUnit(unit)).toBe(false);
      expect(parseEntered({ text: '1', unit: unit as UnitSymbol }, 'mass', '')).toMatchObject({
        ok: false,
        error: { code: 'unit-unknown' },
      });
    }
  });

  it('has a first unit for every dimension', () => {
    for (const { dimension } of Object.values(units)) {
      expect(units[firstUnitOf(dimension)].dimension).toBe(dimension);
    }
  });
});
