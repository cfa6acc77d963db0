import type { Story } from '../story.ts';

export const trisoxalatoferrateStory: Story = {
  template: 'potassium-trisoxalatoferrate',
  taken: {
    'iron-salt': '5.02',
    water: '20',
    'sulfuric-acid': '1.0',
    'oxalic-acid-first': '25',
    'water-wash': '40',
    'potassium-oxalate': '4.01',
    'water-oxalate': '12',
    peroxide: '8.0',
    'oxalic-acid': '12',
    ethanol: '12',
    'ethanol-wash': '10',
  },
  steps: [
    { from: 3, to: 16, seen: 'Pale green solution; a yellow cloudiness with the oxalic acid.' },
    {
      from: 18,
      to: 36,
      seen: 'Lemon yellow solid, settles well.',
      readings: [{ kind: 'duration', text: '4', unit: 'min', at: 34 }],
    },
    { from: 37, to: 55, seen: 'Washings colourless.' },
    {
      from: 56,
      to: 64,
      seen: 'Orange suspension.',
      readings: [{ kind: 'temperature', text: '41', unit: '°C', at: 63 }],
    },
    {
      from: 65,
      to: 74,
      seen: 'Brown, then green over a brown solid.',
      readings: [
        { kind: 'temperature', text: '43', unit: '°C', at: 67 },
        { kind: 'temperature', text: '51', unit: '°C', at: 70 },
        { kind: 'temperature', text: '44', unit: '°C', at: 73 },
        { kind: 'rate', text: '0.9', unit: 'mL/min', at: 74 },
      ],
    },
    {
      from: 75,
      to: 82,
      seen: 'Gas until the end.',
      readings: [{ kind: 'duration', text: '5', unit: 'min', at: 82 }],
    },
    {
      from: 83,
      to: 97,
      seen: 'Bright green and clear after 12 mL.',
      readings: [{ kind: 'temperature', text: '92', unit: '°C', at: 95 }],
    },
    {
      from: 98,
      to: 150,
      seen: 'Large emerald green crystals.',
      readings: [{ kind: 'temperature', text: '6', unit: '°C', at: 148 }],
    },
    { from: 151, to: 168, seen: 'Green crystals, dry after the second washing.' },
    { from: 169, to: 185, seen: 'Dried in the dark until Thursday; brown bottle.' },
  ],
  crudeG: '4.61',
  pureG: '4.38',
  appearance: 'Emerald green crystals.',
  discussion:
    'While the peroxide was added the bath was at 51 °C for a moment; some peroxide may have been lost by decomposition, but all of the iron(II) oxalate was oxidised, since no yellow solid was left.',
};
