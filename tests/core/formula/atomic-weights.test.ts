import { describe, expect, it } from 'vitest';
import { atomicWeightEdition, atomicWeights } from '../../../core/formula/atomic-weights.ts';
import { isotopeMass } from '../../../core/formula/isotopes.ts';

/** CIAAW 2021 abridged values (Prohaska et al., Pure Appl. Chem. 94 (2022) 573), through MilanSkocic/ciaaw. */
const abridged = `H 1.0080 0.0002; Li 6.94 0.06; B 10.81 0.02; C 12.011 0.002; N 14.007 0.001; O 15.999 0.001;
F 18.998 0.001; Na 22.990 0.001; Mg 24.305 0.002; Al 26.982 0.001; Si 28.085 0.001; P 30.974 0.001; S 32.06 0.02;
Cl 35.45 0.01; K 39.098 0.001; Ca 40.078 0.004; Ti 47.867 0.001; V 50.942 0.001; Cr 51.996 0.001; Mn 54.938 0.001;
Fe 55.845 0.002; Co 58.933 0.001; Ni 58.693 0.001; Cu 63.546 0.003; Zn 65.38 0.02; As 74.922 0.001; Se 78.971 0.008;
Br 79.904 0.003; Sr 87.62 0.01; Mo 95.95 0.01; Pd 106.42 0.01; Ag 107.87 0.01; Cd 112.41 0.01; Sn 118.71 0.01;
Sb 121.76 0.01; Te 127.60 0.03; I 126.90 0.01; Cs 132.91 0.01; Ba 137.33 0.01; Ce 140.12 0.01; W 183.84 0.01;
Pt 195.08 0.02; Au 196.97 0.01; Hg 200.59 0.01; Pb 207.2 1.1; Bi 208.98 0.01; U 238.03 0.01`;

describe('atomicWeights', () => {
  it.each(abridged.split(';').map((row) => row.trim().split(' ')))(
    '%s is %s ± %s',
    (symbol, weight, uncertainty) => {
      const row = atomicWeights.get(symbol ?? '');
      expect(row?.weight).toBe(Number(weight));
      expect(row?.uncertainty).toBe(Number(uncertainty));
      expect(row?.significantFigures).toBe(weight?.replace('.', '').length);
    },
  );

  it('takes the values that changed in 2021 (abstract of the 2021 report)', () => {
    expect(atomicWeights.get('Ar')).toMatchObject({ weight: 39.95, uncertainty: 0.16 });
    expect(atomicWeights.get('Pb')).toMatchObject({ weight: 207.2, uncertainty: 1.1 });
    expect(atomicWeights.get('Yb')).toMatchObject({ weight: 173.05, uncertainty: 0.02 });
    expect(atomicWeights.get('Hf')).toMatchObject({ weight: 178.49, uncertainty: 0.01 });
  });

  it('has the beryllium uncertainty right, which a widely copied data set has not', () => {
    expect(atomicWeights.get('Be')).toMatchObject({ weight: 9.0122, uncertainty: 0.0001 });
  });

  it('numbers all 118 elements in order and names its edition', () => {
    expect(atomicWeights.size).toBe(118);
    const numbers = [...atomicWeights.values()].map((row) => row.atomicNumber);
    expect(numbers).toEqual(Array.from({ length: 118 }, (_, index) => index + 1));
    // Anchors along the table (IUPAC periodic table, from memory).
    for (const [symbol, number] of [
      ['Fe', 26],
      ['Ag', 47],
      ['La', 57],
      ['Hf', 72],
      ['Pb', 82],
      ['U', 92],
      ['Og', 118],
    ] as const) {
      expect(atomicWeights.get(symbol)?.atomicNumber).toBe(number);
    }
    expect(atomicWeightEdition).toContain('2021');
  });

  it('gives no weight to elements without a standard one, but to Bi, Th, Pa and U', () => {
    const without = [...atomicWeights].filter(([, row]) => row.weight === null).map(([symbol]) => symbol);
    expect(without).toContain('Tc');
    expect(without).toContain('Pm');
    expect(without).toContain('Po');
    expect(without).not.toContain('Th');
    expect(without).not.toContain('Pa');
    expect(without).not.toContain('U');
    expect(without).not.toContain('Bi');
    expect(without).toHaveLength(34);
  });
});

describe('isotopeMass', () => {
  // AME2020 as listed by CIAAW, g/mol.
  it.each([
    ['H', 2, 2.014101778],
    ['H', 3, 3.016049281],
    ['C', 13, 13.003354835],
    ['C', 14, 14.003241989],
    ['N', 15, 15.000108898],
    ['O', 17, 16.999131756],
    ['O', 18, 17.999159612],
    ['Cl', 35, 34.968852694],
    ['Cl', 37, 36.965902573],
  ])('%s-%i is %d', (element, massNumber, mass) => {
    expect(isotopeMass(element, massNumber)?.mass).toBeCloseTo(mass, 9);
  });

  it('lies near its mass number, and is null for what is not listed', () => {
    for (let massNumber = 1; massNumber < 130; massNumber += 1) {
      for (const element of atomicWeights.keys()) {
        const found = isotopeMass(element, massNumber);
        if (found !== null) expect(Math.abs(found.mass - massNumber)).toBeLessThan(0.1);
      }
    }
    expect(isotopeMass('C', 99)).toBeNull();
  });
});
