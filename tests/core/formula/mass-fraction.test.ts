import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { elementMassFractions } from '../../../core/formula/mass-fraction.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import { recompute } from '../workings/outside.ts';

const fractionsOf = (text: string) => {
  const formula = parseFormula(text);
  if (!formula.ok) throw new Error(text);
  return elementMassFractions(formula.value);
};

describe('elementMassFractions', () => {
  it.each([
    // OpenStax Chemistry 2e, Example 3.10 (from memory): aspirin 60.00 % C, 4.476 % H, 35.52 % O.
    ['C9H8O4', [60.0, 4.476, 35.52]],
    // OpenStax Chemistry 2e, 3.2 (from memory): ammonia 82.24 % N, 17.76 % H.
    ['NH3', [82.24, 17.76]],
    // Common practice, no source: blue vitriol has 25.45 % copper.
    ['CuSO4·5H2O', [25.45]],
  ])('of %s are %j %%', (text, printed) => {
    const found = fractionsOf(text).map((working) => working.result.value);
    for (const [index, value] of printed.entries()) expect(found[index]).toBeCloseTo(value, 1);
  });

  it('add up to 100 %, and each comes out again in an independent evaluator (mathjs)', () => {
    const texts = fc.constantFrom(
      'K3[Fe(C2O4)3]·3H2O',
      'CdCl2·2.5H2O',
      'C6D6',
      '[13C]6H6',
      'Pb(CH3CO2)2·3H2O',
      'KAl(SO4)2·12H2O',
    );
    fc.assert(
      fc.property(texts, (text) => {
        const workings = fractionsOf(text);
        expect(workings.reduce((sum, one) => sum + one.result.value, 0)).toBeCloseTo(100, 9);
        for (const one of workings) expect(recompute(one)).toBeCloseTo(one.result.value, 10);
      }),
    );
  });

  it('lets the atomic weight above and below the line cancel: pure lead is 100 % sure', () => {
    const [lead] = fractionsOf('Pb');
    expect(lead?.result.standardUncertainty).toBeCloseTo(0, 10);
  });
});
