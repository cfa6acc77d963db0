import { MF } from 'mf-parser';
import { Molecule } from 'openchemlib';
import { describe, expect, it } from 'vitest';
import { hillFormula } from '../../../core/formula/hill.ts';
import { molarMass, molarMassOf, molarMassWorking } from '../../../core/formula/molar-mass.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';

const read = (text: string) => {
  const result = parseFormula(text);
  if (!result.ok) throw new Error(`${text}: ${result.error.code} at ${result.error.position ?? -1}`);
  return result.value;
};

/**
 * Molar masses, g/mol, and their standard uncertainties, from the CIAAW 2021 abridged atomic weights
 * (Prohaska et al., Pure Appl. Chem. 94 (2022) 573), computed outside this program.
 */
const table: readonly (readonly [formula: string, mass: number, u: number])[] = [
  ['C9H8O4', 180.159, 0.011],
  ['C7H6O3', 138.122, 0.008],
  ['C4H6O3', 102.089, 0.005],
  ['C7H14O2', 130.187, 0.008],
  ['C5H12O', 88.15, 0.006],
  ['C8H8O2', 136.15, 0.009],
  ['C8H7NO4', 181.147, 0.01],
  ['C7H6O2', 122.123, 0.008],
  ['C14H10O2', 210.232, 0.016],
  ['C14H12O3', 228.247, 0.016],
  ['C7H7NO2', 137.138, 0.008],
  ['C9H11NO2', 165.192, 0.011],
  ['C6H12O', 100.161, 0.007],
  ['C6H10O4', 146.142, 0.007],
  ['C8H9NO', 135.166, 0.009],
  ['C12H22O11', 342.297, 0.015],
  ['C6H12O6', 180.156, 0.008],
  ['Ca(NO3)2', 164.086, 0.004],
  ['K3[Fe(C2O4)3]·3H2O', 491.238, 0.011],
  ['(NH4)2Fe(SO4)2·6H2O', 392.125, 0.025],
  ['H2C2O4·2H2O', 126.064, 0.004],
  ['K2C2O4·H2O', 184.229, 0.004],
  ['CuSO4', 159.602, 0.012],
  ['CuSO4·5H2O', 249.677, 0.013],
  ['Na2CO3·10H2O', 286.138, 0.008],
  ['FeCl3·6H2O', 270.285, 0.018],
  ['KAl(SO4)2·12H2O', 474.372, 0.026],
  ['CdCl2·2.5H2O', 228.347, 0.013],
  ['Pb(CH3CO2)2·3H2O', 379.333, 0.635],
  ['K2Cr2O7', 294.181, 0.004],
  ['KMnO4', 158.032, 0.002],
  ['MnO4^-', 118.935, 0.002],
  ['NH4^+', 18.038, 0.001],
  ['SO4^2-', 96.057, 0.012],
  ['[Fe(C2O4)3]^3-', 319.901, 0.01],
  ['CDCl3', 120.375, 0.017],
  ['C6D6', 84.151, 0.007],
  ['D2O', 20.027, 0.001],
  ['[13C]6H6', 84.068, 0.001],
  ['H2[18O]', 20.015, 0.0002],
];

describe('molarMass', () => {
  it.each(table)('of %s is %d g/mol, u = %d', (formula, mass, u) => {
    const found = molarMass(read(formula));
    expect(found.unit).toBe('g/mol');
    expect(Math.abs(found.value - mass)).toBeLessThan(0.002);
    // The table prints u to three decimals, the isotopic water to four.
    expect(Math.abs((found.standardUncertainty ?? 0) - u)).toBeLessThan(0.00051);
  });

  it.each([
    // OpenStax Chemistry 2e, chapter 3, worked examples (older, rounded atomic weights).
    ['C12H22O11', 342.297, 0.01],
    ['C6H12O6', 180.158, 0.01],
    ['Ca(NO3)2', 164.086, 0.01],
  ])('of %s agrees with the textbook value %d (OpenStax Chemistry 2e)', (formula, printed, tolerance) => {
    expect(Math.abs(molarMass(read(formula)).value - printed)).toBeLessThan(tolerance);
  });

  it.each(table)('of %s is the result of its working', (formula) => {
    const short = molarMass(read(formula));
    const { result } = molarMassOf(read(formula));
    expect(short.value).toBeCloseTo(result.value, 12);
    expect(short.standardUncertainty).toBeCloseTo(result.standardUncertainty ?? 0, 12);
    expect(short.significantFigures).toBe(result.significantFigures);
  });

  it('counts atoms of one element as fully correlated: n² u² (van der Veen et al. 2021)', () => {
    const u = 0.002 / Math.sqrt(3);
    expect(molarMass(read('C60')).standardUncertainty).toBeCloseTo(60 * u, 12);
  });

  it('takes an electron from a cation and gives one to an anion', () => {
    expect(molarMass(read('Na')).value - molarMass(read('Na^+')).value).toBeCloseTo(0.00054858, 9);
    expect(molarMass(read('Cl^-')).value - molarMass(read('Cl')).value).toBeCloseTo(0.00054858, 9);
  });

  it('keeps hydrate water: 5.00 g of the blue salt is 20.03 mmol, not 31.33', () => {
    expect(5000 / molarMass(read('CuSO4·5H2O')).value).toBeCloseTo(20.03, 2);
    expect(5000 / molarMass(read('CuSO4')).value).toBeCloseTo(31.33, 2);
  });
});

describe('molarMassOf', () => {
  it('spells out the sum with counts, names the edition, and keeps one source per element', () => {
    const working = molarMassOf(read('CuSO4·5H2O'));
    expect(working.formula).toBe('A_Cu + A_S + 9*A_O + 10*A_H');
    expect(working.contributions.map((one) => one.source)).toEqual([
      'atomic-weight:Cu',
      'atomic-weight:S',
      'atomic-weight:O',
      'atomic-weight:H',
    ]);
    expect(JSON.stringify(working.terms)).toContain('2021');
  });

  it('writes fractions that decimals cannot hold as fractions', () => {
    expect(molarMassOf(read('CaSO4·1/3H2O')).formula).toContain('13/3*A_O');
    expect(molarMassOf(read('CdCl2·2.5H2O')).formula).toContain('2.5*A_O');
  });
});

describe('molarMassWorking', () => {
  it('returns the same working for the same text and the fault for no formula', () => {
    expect(molarMassWorking('C9H8O4')).toBe(molarMassWorking('C9H8O4'));
    expect(molarMassWorking('Xy')).toMatchObject({
      ok: false,
      error: { code: 'unknown-element', position: 0 },
    });
  });
});

describe('beside independent libraries', () => {
  // mf-parser 3.9 has its own table of atomic weights; one part in 10 000 is what editions differ by.
  const plain = table.map(([formula]) => formula).filter((formula) => !/[\^·[]|D/.test(formula));
  it.each(plain)('mf-parser masses %s the same within 1 in 10 000', (formula) => {
    const other = new MF(formula).getInfo() as { mass: number };
    expect(Math.abs(molarMass(read(formula)).value / other.mass - 1)).toBeLessThan(1e-4);
  });

  it.each([
    ['CH3CH(OH)CH3', 'C3H8O'],
    ['(CH3)2CHOH', 'C3H8O'],
    ['CH3(CH2)4COOH', 'C6H12O2'],
    ['Al2(SO4)3', 'Al2O12S3'],
    ['C6H5NH3Cl', 'C6H8ClN'],
    ['((CH3)3Si)2NH', 'C6H19NSi2'],
    ['Na2S2O3', 'Na2O3S2'],
    ['HOOC(CH2)4COOH', 'C6H10O4'],
  ])('mf-parser gives %s the same Hill formula %s', (formula, hill) => {
    expect(hillFormula(read(formula))).toBe(hill);
    expect((new MF(formula).getInfo() as { mf: string }).mf).toBe(hill);
  });

  // Structures to formulae by openchemlib: the library knows nothing of how we read text.
  it.each([
    ['CC(=O)Oc1ccccc1C(O)=O', 'C9H8O4'],
    ['OC(=O)c1ccccc1O', 'C7H6O3'],
    ['CC(=O)OC(C)=O', 'C4H6O3'],
    ['CC(C)CCOC(C)=O', 'C7H14O2'],
    ['CC(C)CCO', 'C5H12O'],
    ['COC(=O)c1ccccc1', 'C8H8O2'],
    ['COC(=O)c1cccc([N+](=O)[O-])c1', 'C8H7NO4'],
    ['O=C(C(=O)c1ccccc1)c1ccccc1', 'C14H10O2'],
    ['OC(C(O)=O)(c1ccccc1)c1ccccc1', 'C14H12O3'],
    ['CCOC(=O)c1ccc(N)cc1', 'C9H11NO2'],
    ['OC(=O)CCCCC(O)=O', 'C6H10O4'],
    ['OC1CCCCC1', 'C6H12O'],
    ['CC(=O)Nc1ccccc1', 'C8H9NO'],
    ['Cn1cnc2c1c(=O)n(C)c(=O)n2C', 'C8H10N4O2'],
    ['BrCCCC', 'C4H9Br'],
    ['ClC(Cl)Cl', 'CHCl3'],
  ])('openchemlib masses %s like %s within 1 in 10 000', (smiles, formula) => {
    const other = Molecule.fromSmiles(smiles).getMolecularFormula();
    expect(hillFormula(read(formula))).toBe(other.formula);
    expect(Math.abs(molarMass(read(formula)).value / other.relativeWeight - 1)).toBeLessThan(1e-4);
  });
});
