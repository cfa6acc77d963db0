import type { EntryView, PersonView, SessionView } from '../../../core/contract/views.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import type { ReagentRow } from '../../../core/reaction/table-types.ts';
import type { EntryContent, Reading, TimeMark } from '../../../core/record/content.ts';
import type { Comment } from '../../../core/record/objects.ts';

const e = (text: string, unit: UnitSymbol): Entered => ({ text, unit });
const at = (clock: string): TimeMark => ({
  at: `2026-03-12T${clock}:00.000Z`,
  offsetMinutes: 0,
  correction: null,
});
const celsius = (id: string, text: string, clock: string): Reading => ({
  id,
  kind: 'temperature',
  entered: e(text, '°C'),
  mark: at(clock),
  remark: '',
});

const row = (
  patch: Partial<ReagentRow> & Pick<ReagentRow, 'id' | 'name' | 'formula' | 'role'>,
): ReagentRow => ({
  equationFormula: patch.formula,
  unitsPerFormula: 1,
  compoundId: null,
  smiles: null,
  origin: null,
  supply: { kind: 'solid', assay: null },
  planned: null,
  taken: null,
  remark: '',
  ...patch,
});

/** A preparation of the demo's kind, half carried out, with two things gone otherwise. */
export const sampleContent: EntryContent = {
  format: 'fairleaf-entry/1',
  title: 'Acetylsalicylic acid',
  template: { id: 'acetylsalicylic-acid', version: '1' },
  date: '2026-03-12',
  aim: 'To prepare acetylsalicylic acid from salicylic acid and acetic anhydride, to purify it by recrystallisation, and to judge the product by its melting range.',
  principle:
    'The phenolic hydroxyl group is acylated by the anhydride; a trace of acid catalyses by protonating the carbonyl group. The carboxyl group does not react under these conditions.',
  equation: 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
  requirements: [
    'conical flask, 100 mL',
    'water bath, thermometer to 110 °C',
    'measuring cylinder, 10 mL',
    'Buchner funnel and flask',
    'melting-point tubes',
  ],
  hazards: [
    {
      rowId: 'r2',
      substance: 'acetic anhydride',
      signalWord: 'Danger',
      statements: ['H226', 'H302', 'H314', 'H332'],
      pictograms: ['GHS02', 'GHS05', 'GHS07'],
      source: 'example for the stage; look at the supplier’s sheet',
    },
    {
      rowId: 'r3',
      substance: 'phosphoric acid, 85 %',
      signalWord: 'Danger',
      statements: ['H290', 'H314'],
      pictograms: ['GHS05'],
      source: 'example for the stage; look at the supplier’s sheet',
    },
    {
      rowId: 'r1',
      substance: 'salicylic acid',
      signalWord: 'Danger',
      statements: ['H302', 'H318', 'H361d'],
      pictograms: ['GHS05', 'GHS07', 'GHS08'],
      source: 'example for the stage; look at the supplier’s sheet',
    },
  ],
  precautions:
    'Anhydride is measured out in the fume cupboard, with gloves and goggles. No water near the bottle.',
  rows: [
    row({
      id: 'r1',
      name: 'salicylic acid',
      formula: 'C7H6O3',
      role: 'reactant',
      smiles: 'OC(=O)c1ccccc1O',
      supply: { kind: 'solid', assay: e('99', '% w/w') },
      planned: { by: 'mass', entered: e('2.00', 'g'), instrument: 'balance-0.01' },
      taken: { by: 'mass', entered: e('2.06', 'g'), instrument: 'balance-0.01' },
      remark: 'bottle 14',
    }),
    row({
      id: 'r2',
      name: 'acetic anhydride',
      formula: 'C4H6O3',
      role: 'reactant',
      smiles: 'CC(=O)OC(C)=O',
      supply: {
        kind: 'neat-liquid',
        density: e('1.082', 'g/mL'),
        densityTemperature: e('20', '°C'),
        assay: e('98', '% w/w'),
      },
      planned: { by: 'volume', entered: e('5.0', 'mL'), instrument: 'cylinder-astm-10-b' },
      taken: { by: 'volume', entered: e('5.0', 'mL'), instrument: 'cylinder-astm-10-b' },
    }),
    row({
      id: 'r3',
      name: 'phosphoric acid',
      formula: 'H3PO4',
      role: 'catalyst',
      supply: {
        kind: 'solution',
        strength: { kind: 'mass-fraction', entered: e('85', '% w/w'), density: null },
      },
      planned: { by: 'volume', entered: e('0.30', 'mL'), instrument: null },
      taken: { by: 'volume', entered: e('0.4', 'mL'), instrument: null },
    }),
    row({
      id: 'r4',
      name: 'water',
      formula: 'H2O',
      role: 'solvent',
      smiles: 'O',
      supply: {
        kind: 'neat-liquid',
        density: e('0.998', 'g/mL'),
        densityTemperature: e('20', '°C'),
        assay: null,
      },
      planned: { by: 'volume', entered: e('25', 'mL'), instrument: null },
    }),
    row({
      id: 'r5',
      name: 'acetylsalicylic acid',
      formula: 'C9H8O4',
      role: 'product',
      smiles: 'CC(=O)Oc1ccccc1C(=O)O',
    }),
    row({ id: 'r6', name: 'acetic acid', formula: 'C2H4O2', role: 'by-product', smiles: 'CC(=O)O' }),
  ],
  productRowId: 'r5',
  steps: [
    {
      id: 's1',
      text: 'Weigh {mass:r1} of {name:r1} into the dry flask; add {volume:r2} of {name:r2} and {volume:r3} of {name:r3}, and swirl.',
      caution:
        'Acetic anhydride burns skin and eyes and its vapour is choking: fume cupboard, gloves, goggles.',
      limits: [],
      holdPoint: '',
      plannedMinutes: e('10', 'min'),
    },
    {
      id: 's2',
      text: 'Warm on the water bath, swirling now and then, until all is dissolved.',
      caution: '',
      limits: [
        { kind: 'temperature', from: e('70', '°C'), to: e('80', '°C') },
        { kind: 'duration', from: e('15', 'min'), to: e('20', 'min') },
      ],
      holdPoint: '',
      plannedMinutes: e('20', 'min'),
    },
    {
      id: 's3',
      text: 'Let it cool, then add {volume:r4} of water in small portions and cool in ice until crystals form.',
      caution: 'The excess of anhydride reacts with water with warming and fumes.',
      limits: [{ kind: 'temperature', from: null, to: e('10', '°C') }],
      holdPoint: 'The crystals may stay under water, covered and cold, until the next day.',
      plannedMinutes: e('25', 'min'),
    },
    {
      id: 's4',
      text: 'Filter with suction, wash with a little ice-cold water, dry in air and weigh.',
      caution: '',
      limits: [],
      holdPoint: '',
      plannedMinutes: e('15', 'min'),
    },
  ],
  stepRecords: [
    {
      stepId: 's1',
      started: at('14:03'),
      done: at('14:12'),
      readings: [],
      seen: 'White slurry; faint warmth.',
      deviation: '',
    },
    {
      stepId: 's2',
      started: at('14:14'),
      done: at('14:38'),
      readings: [
        celsius('a', '62', '14:15'),
        celsius('b', '74', '14:19'),
        celsius('c', '86', '14:24'),
        celsius('d', '79', '14:30'),
        celsius('f', '77', '14:37'),
      ],
      seen: 'Clear after 8 min, colourless.',
      deviation: '',
    },
    {
      stepId: 's3',
      started: {
        at: '2026-03-12T14:45:00.000Z',
        offsetMinutes: 0,
        correction: { at: '2026-03-12T14:42:00.000Z', reason: 'pressed late' },
      },
      done: null,
      readings: [celsius('g', '24', '14:47'), celsius('h', '8', '14:58')],
      seen: 'Crystals on scratching with a glass rod.',
      deviation: '',
    },
  ],
  notes: [
    { id: 'n1', stepId: 's2', text: 'Bath ran hot; took the flask out for a minute.', mark: at('14:25') },
    { id: 'n2', stepId: null, text: 'Worked at bench 3 with the old thermometer.', mark: at('14:00') },
  ],
  calculation: '',
  worksheets: [],
  expectedYield: e('85', '%'),
  result: {
    crude: { mass: e('2.41', 'g'), instrument: 'balance-0.01' },
    pure: { mass: e('2.07', 'g'), instrument: 'balance-0.01' },
    meltingRange: { from: e('132', '°C'), to: e('134', '°C') },
    boilingRange: { from: null, to: null, pressure: null },
    refractiveIndex: { value: null, temperature: null },
    appearance: 'fine white needles',
  },
  literature: {
    meltingRange: { from: e('135', '°C'), to: null, source: 'handbook value, stage only' },
    boilingPoint: null,
    refractiveIndex: null,
  },
  discussion: '',
  attachments: [],
};

export const student: PersonView = { id: 'p1', printedName: 'Ines Okafor', initials: 'IO', role: 'student' };
export const instructor: PersonView = {
  id: 'p2',
  printedName: 'Edda Marlow',
  initials: 'EM',
  role: 'instructor',
};

const comment = (id: string, patch: Partial<Comment>): Comment => ({
  id,
  entry: 'e1',
  n: 1,
  section: 'procedure',
  anchor: null,
  text: '',
  author: { person: 'p2', printedName: 'Edda Marlow', role: 'instructor' },
  at: '2026-03-14T09:20:00.000Z',
  isSettled: false,
  ...patch,
});

export const sampleView: EntryView = {
  id: 'e1',
  recordId: 'rec1',
  recordTitle: 'Preparative chemistry, second year',
  course: 'CH 204',
  owner: student,
  number: 7,
  state: 'draft',
  mark: '',
  content: sampleContent,
  revision: 3,
  savedAt: '2026-03-14T10:00:00.000Z',
  versions: [],
  comments: [
    comment('c1', {
      section: 'observations',
      anchor: 's2',
      text: 'Why did the bath run hot, and what may that have done to the product?',
    }),
    comment('c2', {
      section: 'reagents',
      anchor: 'r3',
      text: 'Name the strength of the acid you took.',
      isSettled: true,
    }),
  ],
  permissions: {
    canEdit: true,
    canSign: true,
    canComment: false,
    canReturn: false,
    canCountersign: false,
    canAmend: false,
    canStrikeOut: true,
  },
  amendmentReason: null,
  strikeOutReason: null,
};

export const sessionOf = (person: PersonView): SessionView => ({
  person,
  openedAt: '2026-03-14T09:00:00.000Z',
  idleMinutes: 15,
});
