import { describe, expect, it } from 'vitest';
import { readTyped, unitsOf } from '../../../renderer/draft/typed.ts';

describe('readTyped', () => {
  const masses = ['g', 'mg', 'kg'] as const;
  it.each([
    ['2.00', 'g', { text: '2.00', unit: 'g' }],
    ['2500 mg', 'g', { text: '2500', unit: 'mg' }],
    ['2.5kg', 'g', { text: '2.5', unit: 'kg' }],
    ['1.5e-3 g', 'mg', { text: '1.5e-3', unit: 'g' }],
    ['−4', 'g', { text: '−4', unit: 'g' }],
  ] as const)('reads %j in a box of %s', (text, unit, wanted) => {
    expect(readTyped(text, unit, masses)).toEqual(wanted);
  });

  it('leaves a unit that does not fit in the text, for the parser to name', () => {
    expect(readTyped('5 mL', 'g', masses)).toEqual({ text: '5 mL', unit: 'g' });
    expect(readTyped('5 m', 'g', masses)).toEqual({ text: '5 m', unit: 'g' });
  });

  it('understands the spellings a keyboard gives', () => {
    expect(readTyped('5 ml', 'mL', ['mL', 'L', 'µL'])).toEqual({ text: '5', unit: 'mL' });
    expect(readTyped('50 ul', 'mL', ['mL', 'L', 'µL'])).toEqual({ text: '50', unit: 'µL' });
    expect(readTyped('1.08 g/cm3', 'g/mL', unitsOf('density'))).toEqual({ text: '1.08', unit: 'g/mL' });
  });

  it('is nothing for a blank, and keeps nonsense to the letter', () => {
    expect(readTyped('   ', 'g', masses)).toBeNull();
    for (const text of ['🧪', 'abc', 'NaN', '1,5', '١٢']) {
      expect(readTyped(text, 'g', masses)).toEqual({ text, unit: 'g' });
    }
  });
});
