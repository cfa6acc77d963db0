import { describe, expect, it } from 'vitest';
import { compoundById, compounds } from '../../../core/compounds/index.ts';

const pKa = (id: string): readonly number[] =>
  (compoundById(id)?.acidities ?? []).map(({ value }) => Number(value.text.replace('−', '-')));

describe('acidities', () => {
  it('grow from step to step, each at its temperature and from a named source', () => {
    for (const { id, acidities } of compounds) {
      const values = acidities.map(({ value }) => Number(value.text));
      expect(values, id).toEqual(values.toSorted((a, b) => a - b));
      for (const { temperature } of acidities) expect(Number(temperature?.text), id).toBeGreaterThan(0);
    }
    expect(compounds.filter(({ acidities }) => acidities.length > 0).length).toBeGreaterThanOrEqual(65);
  });

  it('of a base say that they are those of the conjugate acid', () => {
    for (const { id, family, acidities } of compounds) {
      if (family !== 'amine' && family !== 'base') continue;
      for (const { note } of acidities) expect(note, id).toMatch(/conjugate acid|group/);
    }
  });

  // A second table: ionization constants at 25 °C of OpenStax Chemistry 2e, appendices H and I, two figures.
  it.each([
    ['acetic-acid', 1.8e-5],
    ['formic-acid', 1.8e-4],
    ['boric-acid', 5.4e-10],
    ['oxalic-acid-dihydrate', 6.0e-2],
    ['phosphoric-acid', 7.5e-3],
  ])('%s agrees with a second table to 0.06', (id, k) => {
    expect(Math.abs((pKa(id)[0] ?? Number.NaN) + Math.log10(k))).toBeLessThan(0.06);
  });
  it.each([
    ['ammonia-solution', 1.8e-5, 0.02],
    ['aniline', 4.3e-10, 0.05],
  ])('%s agrees with the constant of the base', (id, kb, within) => {
    expect(Math.abs((pKa(id)[0] ?? Number.NaN) - (14 + Math.log10(kb)))).toBeLessThan(within);
  });

  // Hammett's equation for benzoic acids in water at 25 °C, ρ = 1 by definition; σ of Hansch, Leo and Taft,
  // Chem. Rev. 91 (1991) 165, from memory: pKa = 4.21 − σ.
  it.each([
    ['m-toluic-acid', -0.07],
    ['p-toluic-acid', -0.17],
    ['4-chlorobenzoic-acid', 0.23],
    ['3-nitrobenzoic-acid', 0.71],
    ['4-nitrobenzoic-acid', 0.78],
    ['4-methoxybenzoic-acid', -0.27],
  ])('%s keeps to the equation of Hammett', (id, sigma) => {
    expect(Math.abs((pKa(id)[0] ?? Number.NaN) - (4.21 - sigma))).toBeLessThan(0.06);
  });
});
