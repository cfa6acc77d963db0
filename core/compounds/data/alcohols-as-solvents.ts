import { annexVi } from '../annex-vi.ts';
import type { CompoundData } from '../define.ts';

/** The two alcohols of the procedure templates. */
export const solvents: readonly CompoundData[] = [
  {
    id: 'ethanol',
    name: 'ethanol',
    synonyms: ['ethyl alcohol', 'alcohol', 'spirit'],
    family: 'solvent',
    formula: 'C2H6O',
    smiles: 'CCO',
    registryNumber: '64-17-5',
    form: 'liquid',
    melting: ['−114.14', 'crc'],
    boiling: ['78.24', 'crc'],
    density: ['0.7893', '20', 'crc'],
    index: ['1.3611', '20', 'crc'],
    fusion: ['4.931', 'crc'],
    hazards: annexVi('603-002-00-5', 'Danger', ['GHS02', 'GHS07'], ['H225'], {
      precautions: ['P210', 'P233', 'P305+P351+P338'],
      suppliers: ['H319'],
    }),
    storage: { group: 'flammable', text: 'Apart from nitric acid and other oxidisers.', source: 'practice' },
  },
  {
    id: 'methanol',
    name: 'methanol',
    synonyms: ['methyl alcohol', 'wood spirit'],
    family: 'solvent',
    formula: 'CH4O',
    smiles: 'CO',
    registryNumber: '67-56-1',
    form: 'liquid',
    melting: ['−97.5', 'crc'],
    boiling: ['64.5', 'crc'],
    density: ['0.7914', '20', 'crc'],
    index: ['1.3288', '20', 'crc'],
    fusion: ['3.215', 'crc'],
    hazards: annexVi(
      '603-001-00-X',
      'Danger',
      ['GHS02', 'GHS06', 'GHS08'],
      ['H225', 'H301', 'H311', 'H331', 'H370'],
      { precautions: ['P210', 'P260', 'P280', 'P301+P330+P331', 'P304+P340'] },
    ),
    storage: { group: 'flammable', text: '', source: 'practice' },
  },
];
