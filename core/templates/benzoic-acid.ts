import {
  defineTemplate,
  duration,
  hazard,
  liquid,
  meltingPoint,
  millilitres,
  molar,
  percent,
  precautions,
  productRow,
  row,
  steps,
  temperature,
  weightInVolume,
} from './build.ts';

/** Saponification of an ester; the acid from its salt; recrystallisation with a known loss. */
export const benzoicAcid = defineTemplate({
  id: 'benzoic-acid',
  version: '1',
  summary:
    'Alkaline hydrolysis of an ester; precipitation by acid; a recrystallisation planned from solubilities.',
  content: {
    title: 'Benzoic acid',
    aim: 'To hydrolyse methyl benzoate with sodium hydroxide, to set benzoic acid free with hydrochloric acid, and to recrystallise it from a volume of water that is worked out beforehand.',
    principle:
      'Hydroxide attacks the carbonyl group of the ester; methanol leaves, and the acid formed is at once turned into its salt, which makes the reaction irreversible. Hydrochloric acid sets the sparingly soluble benzoic acid free: first it neutralises what is left of the sodium hydroxide. The equation sums up both stages. Methyl benzoate limits; both sodium hydroxide and hydrochloric acid are in excess.',
    equation: 'C8H8O2 + NaOH + HCl -> C7H6O2 + CH4O + NaCl',
    requirements: [
      'Round-bottomed flask, 100 mL, with reflux condenser; heating mantle; boiling stones',
      'Graduated pipette with filler, measuring cylinders 25 and 100 mL',
      'Beaker, 250 mL; glass rod; indicator paper; ice bath',
      'Büchner funnel, filter flask, vacuum',
      'Conical flask, 250 mL; heating plate; short-stemmed funnel and fluted paper, if filtered hot',
      'Watch glass, desiccator',
      'Melting-point apparatus, capillaries',
    ],
    hazards: [
      hazard('methyl-benzoate', 'methyl-benzoate'),
      hazard('sodium-hydroxide', 'sodium-hydroxide', {
        substance: 'sodium hydroxide, 10 % in water',
        signalWord: 'Danger',
        statements: ['H290', 'H314'],
        pictograms: ['GHS05'],
        note: 'For the strength used here.',
      }),
      hazard('hydrochloric-acid', 'hydrochloric-acid', {
        substance: 'hydrochloric acid, 4 mol/L',
        signalWord: 'Warning',
        statements: ['H290', 'H315', 'H319', 'H335'],
        pictograms: ['GHS05', 'GHS07'],
        note: 'For the strength used here, about 14 % w/w.',
      }),
      hazard('product', 'benzoic-acid'),
      hazard(null, 'methanol', { substance: 'methanol (formed, stays in the filtrate)' }),
    ],
    precautions: precautions(
      'Hot sodium hydroxide solution destroys skin and eyes: gloves, eye protection, boiling stones against bumping. Grease the ground joint thinly: alkali makes dry joints seize. Flush any splash at once and long.',
      'Acidifying gives off heat: add the acid in portions to the cooled solution. The dust of benzoic acid irritates and harms the lungs: weigh it out gently.',
      'The filtrate holds salt, acid and a little methanol: neutralise it, and put it into the aqueous waste as the local rules say.',
    ),
    rows: [
      row({
        id: 'methyl-benzoate',
        compound: 'methyl-benzoate',
        role: 'reactant',
        bottle: liquid('99'),
        planned: millilitres('4.0', 'graduated-pipette-usp-5'),
      }),
      row({
        id: 'sodium-hydroxide',
        compound: 'sodium-hydroxide',
        name: 'sodium hydroxide solution',
        role: 'reactant',
        bottle: weightInVolume('10.0', '1.10'),
        planned: millilitres('20'),
        remark: '10 g in 100 mL of solution.',
      }),
      row({
        id: 'hydrochloric-acid',
        compound: 'hydrochloric-acid',
        role: 'work-up',
        bottle: molar('4.0', '1.07'),
        planned: millilitres('15'),
      }),
      row({
        id: 'water-wash',
        compound: 'water',
        name: 'water, ice-cold, for washing',
        role: 'work-up',
        bottle: liquid('100'),
        planned: millilitres('20'),
        remark: 'In two portions.',
      }),
      row({
        id: 'water-hot',
        compound: 'water',
        name: 'water, for the recrystallisation',
        role: 'work-up',
        bottle: liquid('100'),
        planned: millilitres('90'),
        remark: 'Least volume and expected loss: see the worksheet.',
      }),
      productRow('product', 'benzoic-acid'),
    ],
    productRowId: 'product',
    steps: steps(
      {
        text: 'Put {volume:methyl-benzoate} of {name:methyl-benzoate} and {volume:sodium-hydroxide} of {name:sodium-hydroxide} into the 100 mL flask with two boiling stones. Grease the joint thinly and fit the condenser.',
        minutes: '10',
        caution: 'Sodium hydroxide solution destroys skin and eyes: gloves, eye protection.',
      },
      {
        text: 'Heat to reflux, water running, until no oily drops are seen in the liquid or in the condenser, 30 to 45 min; look again 5 min later.',
        minutes: '45',
        limits: [duration('30', '60')],
        caution: 'Hot alkali bumps: never heat without boiling stones, never add them to the hot liquid.',
      },
      {
        text: 'Let the flask cool to room temperature and pour the clear solution into the 250 mL beaker, leaving the boiling stones behind.',
        minutes: '15',
        limits: [temperature(null, '30')],
        hold: 'The alkaline solution of sodium benzoate may be kept in a stoppered, labelled plastic bottle until the next session.',
      },
      {
        text: 'In the ice bath, stirring, add {volume:hydrochloric-acid} of {name:hydrochloric-acid} in portions until indicator paper shows pH 1 to 2. Stir the thick white mass well, so that no salt is left inside, and cool to 10 °C or below.',
        minutes: '20',
        limits: [temperature(null, '10')],
        caution:
          'Heat of neutralisation: portions of 2 to 3 mL. Should the pH stay above 2, add more acid and note how much.',
      },
      {
        text: 'Collect the solid on the Büchner funnel and wash it with {volume:water-wash} of ice-cold water in two portions. Press it and draw air through.',
        minutes: '15',
        hold: 'The pressed crude acid may stay on a covered watch glass until the next session; it dries meanwhile.',
      },
      {
        text: 'Weigh the crude product; note how dry it is.',
        minutes: '5',
      },
      {
        text: 'Heat the crude acid with {volume:water-hot} of water to the boil, stirring. If anything stays undissolved that is not dirt, add hot water in portions of 5 mL and note it; filter hot if the solution is not clear. Let it cool slowly to room temperature, then in ice.',
        minutes: '45',
        limits: [temperature('90', '100')],
        caution:
          'Benzoic acid goes off with the steam: do not boil longer than needed, and keep your face away.',
      },
      {
        text: 'Collect the crystals, wash them with a very little ice-cold water, and dry them in the desiccator, or in air, to constant mass.',
        minutes: '20',
        limits: [temperature(null, '60')],
        hold: 'The product may dry until the next session.',
      },
      {
        text: 'Weigh the pure product and take its melting range.',
        minutes: '20',
      },
    ),
    worksheets: [
      {
        id: 'recrystallisation',
        calculation: 'recrystallisation',
        inputs: {
          mass: { text: '3.70', unit: 'g' },
          solubility: [
            { temperature: { text: '0', unit: '°C' }, solubility: { text: '1.7', unit: 'g/L' } },
            { temperature: { text: '18', unit: '°C' }, solubility: { text: '2.7', unit: 'g/L' } },
            { temperature: { text: '25', unit: '°C' }, solubility: { text: '3.44', unit: 'g/L' } },
            { temperature: { text: '40', unit: '°C' }, solubility: { text: '5.51', unit: 'g/L' } },
            { temperature: { text: '75', unit: '°C' }, solubility: { text: '21.45', unit: 'g/L' } },
            { temperature: { text: '100', unit: '°C' }, solubility: { text: '56.31', unit: 'g/L' } },
          ],
          hot: { text: '95', unit: '°C' },
          cold: { text: '5', unit: '°C' },
          volume: { text: '90', unit: 'mL' },
        },
        remark:
          'Solubility of benzoic acid in water: tertiary table; other texts give more for 100 °C. Put in the mass of your own crude product.',
      },
    ],
    expectedYield: percent('80'),
    literature: meltingPoint('122.34'),
  },
});
