import { describe, expect, it } from 'vitest';
import type { Entered } from '../../../core/quantity/quantity.ts';
import { firstUnitOf, isUnit, parseEntered, readUnit } from '../../../core/quantity/entered.ts';
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

  it('says the bounds in the unit people read them in: a percentage lies between 0 and 100', () => {
    expect(parseEntered(entered('150', '% w/w'), 'mass-fraction', '')).toMatchObject({
      error: { code: 'quantity-out-of-range', facts: { least: 0, most: 100, boundsUnit: '% w/w' } },
    });
    expect(parseEntered(entered('-2', 'mg'), 'mass', '')).toMatchObject({
      error: { facts: { least: 0, most: 1e6, boundsUnit: 'g' } },
    });
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

  it.each([
    ['\u03BCL', 'µL'],
    ['uL', 'µL'],
    ['ul', 'µL'],
    ['ml', 'mL'],
    ['l', 'L'],
    ['mol/l', 'mol/L'],
    ['g/ml', 'g/mL'],
    ['g/cm3', 'g/mL'],
    ['g/cm³', 'g/mL'],
    ['kg/m3', 'kg/m³'],
    ['℃', '°C'],
    ['%\u00A0w/w', '% w/w'],
    ['umol', 'µmol'],
    [' mg ', 'mg'],
  ])('reads the spelling %j as %s', (text, unit) => {
    expect(readUnit(text)).toBe(unit);
  });

  it.each(['M', 'N', 'mM', 'm', 'C', 'G', 'ML', 'Mg', 'lb', 'ppb'])(
    'does not guess what %j means',
    (text) => {
      expect(readUnit(text)).toBeNull();
    },
  );

  it('says what to write instead of a letter with several meanings', () => {
    expect(parseEntered({ text: '2', unit: 'M' as UnitSymbol }, 'amount-concentration', '')).toMatchObject({
      error: { code: 'unit-unknown', facts: { suggestion: 'mol/L' } },
    });
  });

  it('leaves every unit of the list as it is', () => {
    for (const symbol of Object.keys(units)) expect(readUnit(symbol)).toBe(symbol);
  });

  it('has a first unit for every dimension', () => {
    for (const { dimension } of Object.values(units)) {
      expect(units[firstUnitOf(dimension)].dimension).toBe(dimension);
    }
  });
});
