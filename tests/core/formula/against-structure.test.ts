import { Molecule } from 'openchemlib';
import { describe, expect, it } from 'vitest';
import { againstStructure, structureFormula } from '../../../core/formula/against-structure.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import { compositionOf, compositionOfSmiles } from '../../../core/formula/structure-composition.ts';
import { problemSentence } from '../../../core/wording/index.ts';

const read = (smiles: string) => compositionOfSmiles(smiles, (text) => Molecule.fromSmiles(text));
function check(formula: string, smiles: string) {
  const typed = parseFormula(formula);
  const structure = read(smiles);
  if (!typed.ok || !structure.ok) throw new Error(`${formula}, ${smiles}`);
  return againstStructure(typed.value, structure.value);
}

// Structures and formulae of common compounds; openchemlib counts the atoms of the structure.
describe('againstStructure', () => {
  it.each([
    ['C9H8O4', 'CC(=O)Oc1ccccc1C(=O)O', 'acetylsalicylic acid'],
    ['CH3CO2C5H11', 'CC(=O)OCCC(C)C', 'written in groups'],
    ['NaCl', '[Na+].[Cl-]', 'ions'],
    ['C2O4^2-', '[O-]C(=O)C(=O)[O-]', 'a charge'],
    ['CDCl3', '[2H]C(Cl)(Cl)Cl', 'an isotope'],
    ['D2O', '[2H]O[2H]', 'an isotope'],
    ['H2C2O4·2H2O', 'OC(=O)C(=O)O', 'water of crystallisation not drawn'],
    ['H2C2O4·2H2O', 'OC(=O)C(=O)O.O.O', 'water of crystallisation drawn'],
    ['CuSO4.5H2O', '[Cu+2].[O-]S(=O)(=O)[O-]', 'written with a full stop'],
  ])('%s agrees with %s: %s', (formula, smiles) => {
    expect(check(formula, smiles)).toBeNull();
  });

  it('names both formulae and every element that differs', () => {
    const problem = check('C9H8O4', 'OC(=O)c1ccccc1O');
    expect(problem).toEqual({
      code: 'formula-contradicts-structure',
      where: '',
      facts: {
        typed: 'C9H8O4',
        structure: 'C7H6O3',
        by: 'C 9 typed, 7 drawn; H 8 typed, 6 drawn; O 4 typed, 3 drawn',
      },
    });
    if (problem !== null) expect(problemSentence(problem)).toContain('C7H6O3');
  });

  it.each([
    ['C2HO4^-', '[O-]C(=O)C(=O)[O-]', 'charge 1− typed, 2− drawn'],
    ['C2O4', '[O-]C(=O)C(=O)[O-]', 'charge 0 typed, 2− drawn'],
    ['CHCl3', '[2H]C(Cl)(Cl)Cl', '[2H] 0 typed, 1 drawn'],
    // More water than is drawn is a contradiction unless the formula names the water apart.
    ['C2H6O6', 'OC(=O)C(=O)O', 'H 6 typed, 2 drawn'],
    ['C2H2O4', 'OC(=O)C(=O)O.O.O', 'O 4 typed, 6 drawn'],
    ['CoCl2·6H2O', '[Ni+2].[Cl-].[Cl-]', 'Co 1 typed, 0 drawn'],
  ])('%s contradicts %s: %s', (formula, smiles, by) => {
    expect(check(formula, smiles)?.facts['by']).toContain(by);
  });
});

describe('structureFormula', () => {
  it.each([
    ['CC(=O)Oc1ccccc1C(=O)O', 'C9H8O4'],
    ['[2H]C(Cl)(Cl)Cl', 'CDCl3'],
    ['[13CH4]', '[13C]H4'],
    ['[Na+].[Cl-]', 'ClNa'],
  ])('%s is %s, in Hill order, and can be typed', (smiles, formula) => {
    const structure = read(smiles);
    if (!structure.ok) throw new Error(smiles);
    const text = structureFormula(structure.value);
    expect(text).toBe(formula);
    const parsed = parseFormula(text);
    expect(parsed.ok && againstStructure(parsed.value, { ...structure.value, charge: 0 })).toBeNull();
  });
});

describe('compositionOfSmiles', () => {
  it.each(['xyz', '', '   ', 'C1CC', '😀', ')'])('“%s” is no structure', (smiles) => {
    expect(read(smiles)).toMatchObject({ ok: false, error: { code: 'structure-unreadable' } });
  });
  it('an open place has no formula', () => {
    expect(read('C*')).toMatchObject({ ok: false, error: { code: 'structure-open' } });
  });
  it('counts hydrogen that is drawn and hydrogen that is not alike', () => {
    const total = (smiles: string) => {
      const found = compositionOf(Molecule.fromSmiles(smiles));
      return found?.elements.find(({ element }) => element === 'H')?.count;
    };
    expect(total('[H]O[H]')).toBe(2);
    expect(total('O')).toBe(2);
  });
});
