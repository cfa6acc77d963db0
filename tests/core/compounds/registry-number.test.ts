import { describe, expect, it } from 'vitest';
import { compounds, isRegistryNumber } from '../../../core/compounds/index.ts';

describe('isRegistryNumber', () => {
  // Worked example of the CAS page on check digits (from memory): caffeine, 58-08-2.
  it('accepts numbers whose check digit is right', () => {
    for (const number of ['58-08-2', '50-78-2', '7732-18-5', '64-17-5', '7664-93-9']) {
      expect(isRegistryNumber(number), number).toBe(true);
    }
  });

  it('refuses a wrong check digit and swapped digits', () => {
    for (const number of ['58-08-3', '50-87-2', '7723-18-5'])
      expect(isRegistryNumber(number), number).toBe(false);
  });

  it('refuses what is no registry number', () => {
    for (const text of [
      '',
      '58-08',
      '58082',
      '58-8-2',
      '058-08-2',
      ' 58-08-2',
      '5-08-2',
      'abc',
      '12345678-08-2',
    ]) {
      expect(isRegistryNumber(text), text).toBe(false);
    }
  });

  it('holds for every compound of the library', () => {
    for (const { id, registryNumber } of compounds) {
      if (registryNumber !== null)
        expect(isRegistryNumber(registryNumber), `${id} ${registryNumber}`).toBe(true);
    }
  });
});
