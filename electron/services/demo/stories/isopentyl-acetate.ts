import type { Story } from '../story.ts';

export const isopentylAcetateStory: Story = {
  template: 'isopentyl-acetate',
  taken: {
    alcohol: '8.0',
    'acetic-acid': '12.0',
    'sulfuric-acid': '1.0',
    'water-wash': '50',
    hydrogencarbonate: '50',
    brine: '10',
    'magnesium-sulfate': '1.2',
  },
  remarks: { 'magnesium-sulfate': 'A little more, it had caked.' },
  steps: [
    { from: 5, to: 17, seen: 'Became warm when the acid went in; two phases, then one on swirling.' },
    {
      from: 18,
      to: 84,
      seen: 'Quiet reflux, ring in the lower third; the smell of pears at the top of the condenser.',
      readings: [{ kind: 'duration', text: '62', unit: 'min', at: 84 }],
    },
    {
      from: 86,
      to: 108,
      seen: 'Upper layer clear and pale yellow.',
      readings: [{ kind: 'temperature', text: '26', unit: '°C', at: 98 }],
    },
    { from: 109, to: 126, seen: 'Much gas with the first portion. Second lower layer: pH 8.' },
    {
      from: 127,
      to: 146,
      seen: 'The drying agent flows freely after the second spatula.',
      readings: [{ kind: 'duration', text: '12', unit: 'min', at: 146 }],
    },
    { from: 147, to: 154, seen: 'Clear, colourless liquid.' },
    {
      from: 156,
      to: 190,
      seen: 'A few drops at 110 to 130 °C, then steady at 139 to 141 °C.',
      readings: [
        { kind: 'temperature', text: '138', unit: '°C', at: 168 },
        { kind: 'temperature', text: '140', unit: '°C', at: 176 },
        { kind: 'temperature', text: '141', unit: '°C', at: 185 },
      ],
    },
    { from: 191, to: 204, seen: 'Refractometer checked with water: 1.3328 at 21.0 °C.' },
  ],
  crudeG: '8.02',
  pureG: '6.47',
  boiling: { fromC: '139', toC: '141', pressureMmHg: '752' },
  refraction: { index: '1.3998', temperatureC: '21.0' },
  appearance: 'Colourless, mobile liquid with a strong smell of pears.',
  calculation:
    'The alcohol limits; acetic acid is in nearly threefold excess to move the equilibrium. The yield is on the alcohol measured in, with its density and assay.',
  discussion:
    'The yield of 69 % agrees with what is expected. The largest loss is in the distillation: about half a millilitre stayed in the flask, and the first fraction was thrown away. Some ester is lost in the washings, since it dissolves in water to about 2 g/L.\n\nThe boiling range lies 0.6 to 2.6 °C below the book value; at 752 mmHg it should lie 0.4 °C below. The thermometer bulb may have stood a little high. The refractive index, taken to 20 °C, agrees with the book to 0.0003.',
};
