import { blankOwnCompound, type OwnCompoundContent } from '../../../core/compounds/index.ts';

/** Text for every source box below: the figures are the project's own, invented for the tests. */
export const ownSource = 'data sheet of the invented supplier, March 2026';

/**
 * A complete form. 4-Methoxyacetanilide, C9H11NO2, CAS 51-66-1 (number from memory; its check digit:
 * 6·1 + 6·2 + 1·3 + 5·4 = 41, and 41 mod 10 = 1); the other figures are invented.
 */
export const sampleOwnCompound = (changes: Partial<OwnCompoundContent> = {}): OwnCompoundContent => ({
  ...blankOwnCompound,
  name: '4-methoxyacetanilide',
  synonyms: ['methacetin', 'N-(4-methoxyphenyl)acetamide'],
  family: 'amide',
  formula: 'C9H11NO2',
  smiles: 'COc1ccc(NC(C)=O)cc1',
  registryNumber: '51-66-1',
  form: 'solid',
  melting: { from: '127', to: '130', source: ownSource, note: '' },
  density: { value: '1.20', temperature: '20', source: ownSource, note: 'of the crystals' },
  hazards: {
    signalWord: 'Warning',
    pictograms: ['GHS07'],
    statements: ['H302'],
    precautions: ['P264', 'P270'],
    source: ownSource,
    note: '',
  },
  storage: { group: 'general-organic', text: 'Keep dry.', source: ownSource },
  ...changes,
});

/** A liquid with a density, as a row takes it. Invented figures. */
export const sampleOwnLiquid = (changes: Partial<OwnCompoundContent> = {}): OwnCompoundContent => ({
  ...blankOwnCompound,
  name: 'propyl pentanoate',
  synonyms: ['propyl valerate'],
  family: 'acid-derivative',
  formula: 'C8H16O2',
  smiles: 'CCCCC(=O)OCCC',
  form: 'liquid',
  boiling: { from: '167', to: '', pressureKpa: '', source: ownSource, note: '' },
  density: { value: '0.870', temperature: '20', source: ownSource, note: '' },
  ...changes,
});
