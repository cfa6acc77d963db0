import {
  byVolume,
  byWeight,
  additionRate,
  defineTemplate,
  duration,
  grams,
  hazard,
  liquid,
  meltingPoint,
  millilitres,
  percent,
  precautions,
  productRow,
  row,
  solid,
  steps,
  temperature,
  weightInVolume,
} from './build.ts';

const water = (id: string, name: string, volume: string) =>
  row({
    id,
    compound: 'water',
    name,
    role: 'work-up',
    bottle: liquid('100'),
    planned: millilitres(volume),
  });

/** Acetylation of a phenol with an anhydride. Quantities of our own choosing, of usual teaching size. */
export const acetylsalicylicAcid = defineTemplate({
  id: 'acetylsalicylic-acid',
  version: '1',
  summary: 'Acetylation of a phenol; recrystallisation from a mixed solvent; a test for unchanged phenol.',
  content: {
    title: 'Acetylsalicylic acid',
    aim: 'To acetylate the phenolic group of salicylic acid with acetic anhydride, to purify the product by recrystallisation from ethanol and water, and to judge it by its yield, its melting range and a test for unchanged salicylic acid.',
    principle:
      'Acetic anhydride transfers one acetyl group to the phenolic oxygen of salicylic acid; acetic acid is the by-product. Phosphoric acid makes the carbonyl group of the anhydride more electrophilic. The anhydride is taken in excess and serves as the solvent too; the excess is afterwards decomposed with water. The ester is itself hydrolysed by hot water, so that heating in the work-up is kept short.',
    equation: 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
    requirements: [
      'Conical flask, 100 mL, dry',
      'Water bath with thermometer',
      'Graduated pipette with filler, measuring cylinders 10 and 25 mL, dry where they meet the anhydride',
      'Ice bath, glass rod',
      'Büchner funnel, filter flask, filter paper, vacuum',
      'Beaker, 100 mL, for the recrystallisation',
      'Watch glass, desiccator',
      'Melting-point apparatus, capillaries',
      'Fume cupboard',
    ],
    hazards: [
      hazard('salicylic-acid', 'salicylic-acid'),
      hazard('acetic-anhydride', 'acetic-anhydride'),
      hazard('phosphoric-acid', 'phosphoric-acid'),
      hazard('product', 'acetylsalicylic-acid'),
      hazard(null, 'acetic-acid', { substance: 'acetic acid (formed)' }),
      hazard('ethanol', 'ethanol'),
      hazard('iron-chloride', 'iron-iii-chloride-hexahydrate', {
        substance: 'iron(III) chloride, 1 % in water',
        signalWord: '',
        statements: [],
        pictograms: [],
        note: 'A dilute mixture is not labelled like the solid: see its own sheet.',
      }),
    ],
    precautions: precautions(
      'Acetic anhydride burns skin and eyes and its vapour is harmful: measure and heat it in the fume cupboard, with gloves. It reacts with water with heat: only dry glass, and water only as the procedure says, drop by drop.',
      'Ethanol is highly flammable: warm it in a water bath, with no flame in the room.',
      'A product of the laboratory is never taken as a medicine. Filtrates and washings go to the aqueous acid waste, ethanolic mother liquor to the non-halogenated solvent waste, as the local rules say.',
    ),
    rows: [
      row({
        id: 'salicylic-acid',
        compound: 'salicylic-acid',
        role: 'reactant',
        bottle: solid('99'),
        planned: grams('2.50'),
      }),
      row({
        id: 'acetic-anhydride',
        compound: 'acetic-anhydride',
        role: 'reactant',
        bottle: liquid('98'),
        planned: millilitres('5.0'),
      }),
      row({
        id: 'phosphoric-acid',
        compound: 'phosphoric-acid',
        role: 'catalyst',
        bottle: byWeight('85', '1.70'),
        planned: millilitres('0.40', 'graduated-pipette-usp-2'),
        remark: 'Density 1.70 g/mL: OpenStax Chemistry 2e, appendix.',
      }),
      water('water-quench', 'water, to decompose the anhydride', '2.0'),
      water('water-cold', 'water, cold', '25'),
      water('water-wash', 'water, ice-cold, for washing', '10'),
      row({
        id: 'ethanol',
        compound: 'ethanol',
        role: 'work-up',
        bottle: byVolume('96', '0.807'),
        planned: millilitres('8.0'),
      }),
      water('water-warm', 'water, warm, for the recrystallisation', '25'),
      row({
        id: 'iron-chloride',
        compound: 'iron-iii-chloride-hexahydrate',
        name: 'iron(III) chloride solution',
        role: 'work-up',
        bottle: weightInVolume('1.0', '1.00'),
        planned: millilitres('0.20', 'dropper-3'),
        remark: 'Test for phenols.',
      }),
      productRow('product', 'acetylsalicylic-acid'),
    ],
    productRowId: 'product',
    steps: steps(
      {
        text: 'Weigh {mass:salicylic-acid} of {name:salicylic-acid} into the dry conical flask. In the fume cupboard add {volume:acetic-anhydride} of {name:acetic-anhydride}, then {volume:phosphoric-acid} of {name:phosphoric-acid}, and swirl.',
        minutes: '15',
        caution:
          'Acetic anhydride: corrosive, flammable, reacts with water. Gloves, fume cupboard, dry glass.',
      },
      {
        text: 'Heat the flask in the water bath at 70 to 80 °C, swirling now and then, until everything has dissolved and 15 min have passed.',
        minutes: '20',
        limits: [temperature('70', '80'), duration('15', '20')],
      },
      {
        text: 'Take the flask out of the bath. While it is still warm add {volume:water-quench} of water drop by drop, over at least two minutes, swirling.',
        minutes: '5',
        limits: [additionRate(null, '1.0')],
        caution:
          'The excess of anhydride reacts with heat and spurts hot acetic acid vapour: fume cupboard, sash down, opening of the flask turned away from everybody.',
      },
      {
        text: 'When the reaction has died down add {volume:water-cold} of cold water, let the flask cool to room temperature, and finish the crystallisation in ice for at least 10 min. If an oil appears or nothing crystallises, scratch the wall with a glass rod.',
        minutes: '20',
        limits: [temperature('0', '5')],
      },
      {
        text: 'Collect the crystals on the Büchner funnel, wash them with {volume:water-wash} of ice-cold water in two portions, and draw air through until they no longer drip.',
        minutes: '10',
        hold: 'The pressed crystals may stay on a covered watch glass at room temperature until the next session; they dry meanwhile.',
      },
      {
        text: 'Weigh the crude product; note how dry it is. Keep a few crystals for the test at the end.',
        minutes: '5',
      },
      {
        text: 'Dissolve the crude product in {volume:ethanol} of ethanol, warming in the water bath at not more than 60 °C. Add {volume:water-warm} of water of about 50 °C; if crystals separate, warm until the solution is clear, no longer than needed. Cover and let it cool slowly, undisturbed, at the end in ice.',
        minutes: '35',
        limits: [temperature(null, '60')],
        caution:
          'Ethanol is highly flammable: no flame, no open heating plate. Long heating in water hydrolyses the ester.',
      },
      {
        text: 'Collect the crystals, wash them with a little ice-cold water, and dry them to constant mass in the desiccator or at not more than 50 °C.',
        minutes: '25',
        limits: [temperature(null, '50')],
        hold: 'The product may dry in the desiccator until the next session.',
      },
      {
        text: 'Weigh the pure product. Take its melting range: put the capillary in about 15 °C below the melting point and heat by 1 to 2 °C per minute, since the substance decomposes while melting. Put a few crystals of crude and of pure product into ethanol and add 1 or 2 drops of {name:iron-chloride}: a violet colour shows unchanged phenol.',
        minutes: '25',
      },
    ),
    worksheets: [],
    expectedYield: percent('75'),
    literature: meltingPoint(
      '136',
      'decomposes; 135 to 140 °C are reported, depending on the rate of heating',
    ),
  },
});
