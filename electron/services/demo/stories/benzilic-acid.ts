import type { Story } from '../story.ts';

export const benzilicAcidStory: Story = {
  template: 'benzilic-acid',
  taken: {
    benzil: '2.51',
    'potassium-hydroxide': '2.61',
    water: '5.0',
    ethanol: '8.0',
    'ethanol-wash': '4.0',
    'water-salt': '45',
    charcoal: '0.20',
    'hydrochloric-acid': '17',
    'water-wash': '20',
    'water-hot': '65',
  },
  steps: [
    { from: 4, to: 18, seen: 'The hydroxide solution became hot; benzil gave a yellow solution.' },
    {
      from: 20,
      to: 44,
      seen: 'Deep violet black on mixing, brown after ten minutes.',
      readings: [{ kind: 'duration', text: '18', unit: 'min', at: 44 }],
    },
    {
      from: 45,
      to: 74,
      seen: 'Tan crystals.',
      readings: [{ kind: 'temperature', text: '3', unit: '°C', at: 72 }],
    },
    { from: 75, to: 88, seen: 'Nearly white after the second washing.' },
    {
      from: 90,
      to: 112,
      seen: 'Slightly yellow, colourless after charcoal.',
      readings: [{ kind: 'temperature', text: '82', unit: '°C', at: 98 }],
    },
    {
      from: 114,
      to: 134,
      seen: 'White precipitate; pH 2 after 17 mL.',
      readings: [{ kind: 'temperature', text: '8', unit: '°C', at: 133 }],
    },
    { from: 135, to: 147, seen: 'White, fine.' },
    { from: 148, to: 150, seen: 'Still moist.' },
    {
      from: 152,
      to: 195,
      seen: 'Needles on cooling; 65 mL of water in all.',
      readings: [{ kind: 'temperature', text: '98', unit: '°C', at: 162 }],
    },
    { from: 196, to: 210, seen: 'Dried in the desiccator over two nights.' },
    { from: 2890, to: 2910, seen: 'Melts to a clear liquid which turns red on further heating.' },
  ],
  crudeG: '2.38',
  pureG: '1.84',
  meltingC: ['149', '150'],
  appearance: 'White needles.',
  calculation: 'Benzil limits; the hydroxide is in about threefold excess.',
  discussion:
    'Pure by its melting range. A part of the benzilate stays in the ethanol of the first filtration; cooling longer in ice would have helped.',
};
