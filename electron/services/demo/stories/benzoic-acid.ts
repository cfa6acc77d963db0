import type { Story } from '../story.ts';

export const benzoicAcidStory: Story = {
  template: 'benzoic-acid',
  taken: {
    'methyl-benzoate': '4.0',
    'sodium-hydroxide': '22',
    'hydrochloric-acid': '18',
    'water-wash': '20',
    'water-hot': '120',
  },
  remarks: { 'water-hot': 'Three times 10 mL more: a few grains would not dissolve. They were dirt.' },
  steps: [
    { from: 3, to: 12, seen: 'Two layers; the ester lies on top of the alkali.' },
    {
      from: 13,
      to: 58,
      seen: 'No oily drops left after 35 min; boiled five minutes more.',
      readings: [{ kind: 'duration', text: '40', unit: 'min', at: 58 }],
    },
    {
      from: 60,
      to: 76,
      seen: 'Clear and colourless, sweet smell gone.',
      readings: [{ kind: 'temperature', text: '28', unit: '°C', at: 75 }],
    },
    {
      from: 77,
      to: 100,
      seen: 'A thick white mass at once. pH 1.',
      readings: [
        { kind: 'temperature', text: '14', unit: '°C', at: 92 },
        { kind: 'temperature', text: '9', unit: '°C', at: 99 },
      ],
    },
    { from: 101, to: 114, seen: 'White paste, hard to wash.' },
    { from: 115, to: 118, seen: 'Moist.' },
    {
      from: 120,
      to: 172,
      seen: 'Boiling; filtered hot. Leaflets grew slowly.',
      readings: [{ kind: 'temperature', text: '97', unit: '°C', at: 130 }],
    },
    { from: 173, to: 190, seen: 'Shining leaflets, dried in the desiccator until Thursday.' },
    { from: 2890, to: 2915, seen: 'Melts sharply.' },
  ],
  crudeG: '4.05',
  pureG: '2.74',
  meltingC: ['121.5', '122.5'],
  appearance: 'Colourless shining leaflets.',
  discussion:
    'The product is pure by its melting range. The yield is lower than expected because too much water was used.',
};
