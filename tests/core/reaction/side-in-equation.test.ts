import { describe, expect, it } from 'vitest';
import { sideInEquation } from '../../../core/reaction/stoichiometry.ts';

// By definition of the arrow: what stands before it is taken, what stands behind it is formed.
describe('sideInEquation', () => {
  const equation = 'C7H7NO2 + C2H5OH -> C9H11NO2 + H2O';

  it.each([
    ['C7H7NO2', 'left'],
    ['C2H6O', 'left'],
    ['CH3CH2OH', 'left'],
    ['C9H11NO2', 'right'],
    ['H2O', 'right'],
    ['H2SO4', null],
    ['', null],
    ['not a formula', null],
  ] as const)('finds %s on the %s', (formula, side) => {
    expect(sideInEquation(formula, equation)).toBe(side);
  });

  it('says nothing where a composition stands on both sides, or the equation cannot be read', () => {
    expect(sideInEquation('C4H8', 'C4H8 -> (C4H8)')).toBeNull();
    expect(sideInEquation('H2O', '')).toBeNull();
    expect(sideInEquation('H2O', 'H2O +')).toBeNull();
  });
});
