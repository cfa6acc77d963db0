import type { Block, Line, ReportDocument, ReportPart, Run } from '../../../core/report/report-document.ts';
import { parseMarkup } from '../../../core/workings/markup.ts';

/** A report made by hand: the layout is tested without the engine. Invented college and people. */
export const m = (markup: string, rest: Omit<Run, 'text' | 'script'> = {}): Line =>
  parseMarkup(markup).map((run) => ({ ...run, ...rest }));
const s = (markup: string): Line => m(markup, { ink: 'student' });
export const hash = '3f9a02c177bed4105c2e88aa01b3f7d2c46e905172384b1c9d0e5fa67b21c3d4';

const entryBlocks: Block[] = [
  {
    kind: 'title',
    eyebrow: [
      { text: 'Entry 3', weight: 'bold' },
      { text: '  Organic preparations, second year', tone: 'quiet' },
    ],
    title: m('Acetylsalicylic acid'),
    facts: [
      { label: 'Student', value: m('Mira Ashdown (MA)') },
      { label: 'Practical', value: m('9 March 2027') },
      { label: 'Record', value: m('Practical record, spring term') },
      { label: 'Instructor', value: m('Dr Helen Ward (HW)') },
      { label: 'Version', value: m('2 of 2') },
      { label: 'Template', value: m('Acetylsalicylic acid, version 1') },
    ],
    stamp: { text: 'Countersigned', date: '12 March 2027', by: 'HW, mark 8/10', ink: 'instructor' },
    fingerprint: { short: '3F9A 02C1 77BE D410 5C2E', full: hash },
    figures: [
      { label: 'Limiting reagent', value: m('salicylic acid'), note: m('14.5\u2009mmol') },
      { label: 'Theoretical yield', value: m('2.61\u2009g'), note: m('± 0.01\u2009g') },
      { label: 'Pure yield', value: m('2.05\u2009g'), note: m('78.6 ± 0.5\u2009%') },
      { label: 'Melting range', value: m('134–136\u2009°C'), note: m('literature 135\u2009°C') },
      { label: 'Deviations', value: m('2'), note: m('steps 2 and 4') },
    ],
  },
  { kind: 'heading', level: 2, number: '1', line: m('Aim') },
  {
    kind: 'paragraph',
    ink: 'student',
    mark: { ink: 'student', initials: 'MA' },
    line: m(
      'To acetylate the phenolic hydroxyl group of salicylic acid with acetic anhydride, to purify the product by recrystallisation from a mixture of ethanol and water, and to judge its purity from the melting range and the iron(III) chloride test.',
    ),
  },
  { kind: 'heading', level: 2, number: '2', line: m('Principle') },
  {
    kind: 'paragraph',
    ink: 'student',
    mark: { ink: 'student', initials: 'MA' },
    line: m(
      'The lone pair of the phenol attacks the carbonyl carbon of protonated acetic anhydride; loss of CH_{3}COOH from the tetrahedral intermediate gives the ester. Phosphoric acid (p*K*_{a1} ≈ 2.1) protonates the anhydride: H_{3}PO_{4} ⇌ H_{2}PO_{4}^{−} + H^{+}. Free salicylic acid would show violet with Fe^{3+}, [Fe(C_{7}H_{4}O_{3})]^{+}.',
    ),
  },
  {
    kind: 'reaction',
    equation: m('C_{7}H_{6}O_{3} + C_{4}H_{6}O_{3} → C_{9}H_{8}O_{4} + C_{2}H_{4}O_{2}'),
    over: m('H_{3}PO_{4} (cat.), 60\u2009°C, 15\u2009min'),
    left: [
      {
        coefficient: '',
        smiles: 'OC(=O)c1ccccc1O',
        formula: m('C_{7}H_{6}O_{3}'),
        caption: [m('salicylic acid'), m('138.12\u2009g/mol', { tone: 'quiet' })],
      },
      {
        coefficient: '',
        smiles: 'CC(=O)OC(C)=O',
        formula: m('C_{4}H_{6}O_{3}'),
        caption: [m('acetic anhydride'), m('102.09\u2009g/mol', { tone: 'quiet' })],
      },
    ],
    right: [
      {
        coefficient: '',
        smiles: 'CC(=O)Oc1ccccc1C(=O)O',
        formula: m('C_{9}H_{8}O_{4}'),
        caption: [m('acetylsalicylic acid'), m('180.16\u2009g/mol', { tone: 'quiet' })],
      },
      {
        coefficient: '',
        smiles: 'CC(=O)O',
        formula: m('C_{2}H_{4}O_{2}'),
        caption: [m('acetic acid'), m('60.05\u2009g/mol', { tone: 'quiet' })],
      },
    ],
    spoken: 'Salicylic acid and acetic anhydride give acetylsalicylic acid and acetic acid.',
  },
  { kind: 'heading', level: 2, number: '3', line: m('Requirements') },
  {
    kind: 'list',
    columns: 2,
    ink: 'print',
    mark: null,
    items: [
      'conical flask, 50 mL',
      'water bath with thermometer',
      'measuring cylinder, 10 mL',
      'balance, 0.01 g',
      'ice bath',
      'suction filtration',
      'melting point apparatus',
    ].map((one) => m(one)),
  },
  { kind: 'heading', level: 2, number: '4', line: m('Hazards and precautions') },
  {
    kind: 'table',
    density: 'normal',
    caption: m('Statements as listed for the pure substances; the label of the bottle in hand decides.'),
    columns: [
      { head: m('Substance'), align: 'left', share: 110 },
      { head: m('Signal word, signs'), align: 'left', share: 90 },
      { head: m('Statements'), align: 'left', share: 265 },
    ],
    rows: [
      [
        [m('salicylic acid')],
        [m('Danger'), m('GHS05, GHS07', { tone: 'quiet' })],
        [m('H302 Harmful if swallowed.'), m('H318 Causes serious eye damage.')],
      ],
      [
        [m('acetic anhydride')],
        [m('Danger'), m('GHS02, GHS05, GHS06', { tone: 'quiet' })],
        [
          m('H226 Flammable liquid and vapour.'),
          m('H302 Harmful if swallowed.'),
          m('H314 Causes severe skin burns and eye damage.'),
          m('H330 Fatal if inhaled.'),
        ],
      ],
    ],
  },
  {
    kind: 'notice',
    title: 'Before work begins',
    line: m(
      'These notes remind; they do not replace the supplier’s safety data sheet, the institution’s risk assessment, local rules and the person in charge of the laboratory.',
    ),
  },
  { kind: 'heading', level: 2, number: '5', line: m('Reagents') },
  {
    kind: 'spread',
    left: {
      head: 'Planned',
      columns: [
        { head: m('Substance'), align: 'left', share: 118 },
        { head: m('Measured'), align: 'decimal', share: 58 },
        { head: m('Amount'), align: 'decimal', share: 56 },
        { head: m('Eq.'), align: 'decimal', share: 36 },
      ],
    },
    foldHead: 'difference',
    right: {
      head: 'Taken',
      columns: [
        { head: m('Measured'), align: 'decimal', share: 58 },
        { head: m('Amount'), align: 'decimal', share: 56 },
        { head: m('Eq.'), align: 'decimal', share: 36 },
      ],
    },
    rows: [
      {
        left: [
          [m('salicylic acid', { weight: 'bold' }), m('138.12\u2009g/mol · limiting', { tone: 'quiet' })],
          [m('2.00\u2009g')],
          [m('14.5\u2009mmol')],
          [m('1.00')],
        ],
        fold: m('+0.5\u2009%'),
        right: [[s('2.01\u2009g')], [m('14.6\u2009mmol')], [m('1.00')]],
        deviates: false,
      },
      {
        left: [
          [
            m('acetic anhydride', { weight: 'bold' }),
            m('102.09\u2009g/mol · 1.082\u2009g/mL', { tone: 'quiet' }),
          ],
          [m('5.0\u2009mL')],
          [m('53.0\u2009mmol')],
          [m('3.66')],
        ],
        fold: m('+10\u2009%'),
        right: [[s('5.5\u2009mL')], [m('58.3\u2009mmol')], [m('4.00')]],
        deviates: true,
      },
      {
        left: [
          [
            m('phosphoric acid, 85\u2009% w/w', { weight: 'bold' }),
            m('98.00\u2009g/mol · catalyst', { tone: 'quiet' }),
          ],
          [m('5 drops')],
          [m('–')],
          [m('–')],
        ],
        fold: m(''),
        right: [[s('5 drops')], [m('–')], [m('–')]],
        deviates: false,
      },
      {
        left: [
          [m('water', { weight: 'bold' }), m('work-up', { tone: 'quiet' })],
          [m('20\u2009mL')],
          [m('1108\u2009mmol')],
          [m('–')],
        ],
        fold: m('0\u2009%'),
        right: [[s('20\u2009mL')], [m('1108\u2009mmol')], [m('–')]],
        deviates: false,
      },
    ],
  },
  {
    kind: 'notice',
    title: 'Limiting reagent',
    line: m(
      'Salicylic acid limits: acetic anhydride is there in 4.0-fold excess, far beyond the tolerance of the measuring cylinder.',
    ),
  },
  { kind: 'heading', level: 2, number: '6', line: m('Procedure') },
  {
    kind: 'spread',
    left: {
      head: 'Planned',
      columns: [
        { head: [], align: 'left', share: 20 },
        { head: [], align: 'left', share: 196 },
      ],
    },
    foldHead: 'difference',
    right: { head: 'Carried out', columns: [{ head: [], align: 'left', share: 196 }] },
    rows: [
      {
        left: [
          [m('1', { weight: 'bold' })],
          [m('Weigh 2.00 g of salicylic acid into a dry 50 mL conical flask.')],
        ],
        fold: m('✓'),
        right: [[m('13:05–13:11', { tone: 'quiet' }), s('White needles, free-flowing.')]],
        deviates: false,
      },
      {
        left: [
          [m('2', { weight: 'bold' })],
          [
            m(
              'In the fume cupboard add 5.0 mL of acetic anhydride, then 5 drops of phosphoric acid, swirling.',
            ),
            m('Caution: acetic anhydride is lachrymatory.', { style: 'italic' }),
          ],
        ],
        fold: m('+10\u2009%'),
        right: [
          [
            m('13:14–13:18', { tone: 'quiet' }),
            s('Clear after 2 min; slightly warm.'),
            m('Deviation: cylinder read at 5.5 mL, not poured back.', { ink: 'student', style: 'italic' }),
          ],
        ],
        deviates: true,
      },
      {
        left: [
          [m('3', { weight: 'bold' })],
          [m('Keep at 60 °C for 15 min.'), m('50–65\u2009°C · 15–20\u2009min', { tone: 'quiet' })],
        ],
        fold: m('✓'),
        right: [
          [
            m('13:20–13:36', { tone: 'quiet' }),
            s('13:22 54\u2009°C; 13:26 60\u2009°C; 13:31 61\u2009°C'),
            s('Colourless solution.'),
          ],
        ],
        deviates: false,
      },
      {
        left: [
          [m('4', { weight: 'bold' })],
          [
            m('Cool below 10 °C in ice, scratch, and leave for 10 min.'),
            m('below 10\u2009°C · at least 10\u2009min', { tone: 'quiet' }),
            m('Hold point: the flask may stand overnight, stoppered.', { tone: 'quiet' }),
          ],
        ],
        fold: m('6\u2009°C too warm'),
        right: [
          [
            m('13:40–13:52', { tone: 'quiet' }),
            s('13:45 16\u2009°C; 13:51 8\u2009°C'),
            s('White crystals after scratching.'),
          ],
        ],
        deviates: true,
      },
    ],
  },
  {
    kind: 'comment',
    who: 'Dr Helen Ward',
    initials: 'HW',
    when: '10 March 2027, 09:12 (UTC)',
    about: 'step 4',
    line: m('Say how long it was above 10 °C, and why that matters for the yield.'),
    isSettled: true,
  },
  { kind: 'heading', level: 2, number: '7', line: m('Observations') },
  {
    kind: 'table',
    density: 'normal',
    caption: null,
    columns: [
      { head: m('Time'), align: 'left', share: 50 },
      { head: m('Step'), align: 'left', share: 34 },
      { head: m('Reading'), align: 'decimal', share: 60 },
      { head: m('Seen, noted'), align: 'left', share: 320 },
    ],
    rows: [
      [[m('13:05')], [m('1')], [], [m('step begun', { tone: 'quiet' })]],
      [[m('13:22')], [m('3')], [s('54\u2009°C')], []],
      [[m('13:26')], [m('3')], [s('60.5\u2009°C')], []],
      [[m('13:31')], [m('3')], [s('61\u2009°C')], [s('Solution stays colourless; faint smell of vinegar.')]],
      [[m('13:45')], [m('4')], [s('16\u2009°C')], [s('No crystals yet.')]],
      [[m('13:51')], [m('4')], [s('8\u2009°C')], [s('Crystals grow from the scratched line.')]],
    ],
  },
  {
    kind: 'chart',
    title: m('Temperature during steps 3 and 4'),
    xLabel: 'minutes after 13:20',
    yLabel: 'temperature, °C',
    points: [
      { x: 2, y: 54, label: '54 °C', isOutside: false },
      { x: 6, y: 60.5, label: '60.5 °C', isOutside: false },
      { x: 11, y: 61, label: '61 °C', isOutside: false },
      { x: 25, y: 16, label: '16 °C', isOutside: true },
      { x: 31, y: 8, label: '8 °C', isOutside: false },
    ],
    bands: [
      { fromX: 0, toX: 16, fromY: 50, toY: 65, label: 'step 3' },
      { fromX: 20, toX: 32, fromY: null, toY: 10, label: 'step 4' },
    ],
    spoken: 'Five temperature readings between 54 °C and 8 °C.',
  },
  { kind: 'heading', level: 2, number: '8', line: m('Calculation') },
  {
    kind: 'working',
    title: m('Theoretical yield'),
    lines: [
      m('m_{theo} = ξ_{lim} · ν · M'),
      m('m_{theo} = 14.55\u2009mmol × 1 × (180.16\u2009g/mol)'),
      m('m_{theo} = 2.621 ± 0.010\u2009g'),
    ],
    notes: [
      m('ξ_{lim}: extent of the limiting reagent (from: limiting reagent)'),
      m('Formula: IUPAC Green Book, 3rd ed., 2.10'),
      m('Rounded once, here, to the place the uncertainty reaches. Before rounding: 2.6212.'),
      m('Shares of the variance: balance 82\u2009%; assay 18\u2009%.'),
    ],
  },
  {
    kind: 'working',
    title: m('Percentage yield, pure'),
    lines: [
      m('Y = m_{pure} / m_{theo} · 100\u2009%'),
      m('Y = 2.05\u2009g / 2.621\u2009g × 100\u2009%'),
      m('Y = 78.2 ± 0.5\u2009%'),
    ],
    notes: [
      m('m_{pure}: mass of the recrystallised product (as entered)'),
      m('Formula: IUPAC Gold Book, yield'),
    ],
  },
  { kind: 'heading', level: 2, number: '9', line: m('Result') },
  {
    kind: 'spread',
    left: {
      head: 'Expected, literature',
      columns: [
        { head: [], align: 'left', share: 110 },
        { head: [], align: 'decimal', share: 100 },
      ],
    },
    foldHead: 'difference',
    right: { head: 'Found', columns: [{ head: [], align: 'left', share: 200 }] },
    rows: [
      {
        left: [[m('pure yield')], [m('2.1\u2009g')]],
        fold: m('−2\u2009%'),
        right: [[s('2.05\u2009g'), m('78.2 ± 0.5\u2009% of theory', { tone: 'quiet' })]],
        deviates: false,
      },
      {
        left: [[m('melting range')], [m('135\u2009°C')]],
        fold: m('within'),
        right: [[s('134–136\u2009°C')]],
        deviates: false,
      },
    ],
  },
  {
    kind: 'paragraph',
    ink: 'print',
    mark: null,
    line: m(
      'The melting range is narrow (2 °C) and includes the literature value: the product is pure as far as melting can tell.',
    ),
  },
  { kind: 'heading', level: 2, number: '10', line: m('Discussion') },
  {
    kind: 'paragraph',
    ink: 'student',
    mark: { ink: 'student', initials: 'MA' },
    line: m(
      'The yield is limited by the solubility of the product in the cold mother liquor, about 0.3 g/100 mL at 10 °C. The flask stood at 16 °C for some minutes before it was moved into fresh ice.\n\nA second crop from the filtrate would have brought more, at the cost of purity.',
    ),
  },
  { kind: 'heading', level: 2, number: '', line: m('Signatures') },
  {
    kind: 'signature',
    meaning: 'I carried out this work and this is my record of it.',
    printedName: 'Mira Ashdown',
    initials: 'MA',
    role: 'student',
    when: '11 March 2027, 18:22:05 (UTC)',
    remark: [],
    covers: 'version 2, fingerprint 3F9A 02C1 77BE D410 5C2E',
    ink: 'student',
  },
  {
    kind: 'signature',
    meaning: 'I have reviewed this record and accept it. It is locked from now on.',
    printedName: 'Dr Helen Ward',
    initials: 'HW',
    role: 'instructor',
    when: '12 March 2027, 10:40:51 (UTC)',
    remark: m('Mark 8/10. Good observations.'),
    covers: 'version 2, fingerprint 3F9A 02C1 77BE D410 5C2E',
    ink: 'instructor',
  },
];

export const entryPart: ReportPart = {
  id: 'entry-3',
  bookmark: '3  Acetylsalicylic acid',
  headerLeft: m('Practical record, spring term · Mira Ashdown'),
  headerRight: m('Entry 3 · Acetylsalicylic acid'),
  footerLeft: m('Version 2, countersigned · fingerprint 3F9A 02C1 77BE D410 5C2E'),
  blocks: entryBlocks,
};

export const frontPart: ReportPart = {
  id: 'certificate',
  bookmark: 'Certificate',
  headerLeft: m('Practical record, spring term'),
  headerRight: [],
  footerLeft: m('Bound 30 June 2027'),
  blocks: [
    {
      kind: 'certificate',
      institution: 'Ashgrove College',
      department: 'Department of Chemistry',
      title: 'Practical record',
      statement: [m('The entries bound here are the practical record of Mira Ashdown.')],
      facts: [
        { label: 'Student', value: m('Mira Ashdown (MA)') },
        { label: 'Course', value: m('Organic preparations, second year') },
      ],
      stamp: {
        text: 'Department of Chemistry',
        date: '30 June 2027',
        by: 'Ashgrove College',
        ink: 'department',
      },
      signLines: ['Instructor in charge', 'Head of department', 'Date'],
      notes: [m('Key of the department: 9C41 7A20 55EE 01BF 3D68')],
    },
  ],
};

export const indexPart: ReportPart = {
  id: 'index',
  bookmark: 'Index',
  headerLeft: m('Practical record, spring term'),
  headerRight: [],
  footerLeft: [],
  blocks: [
    { kind: 'heading', level: 1, number: '', line: m('Index') },
    {
      kind: 'index',
      rows: [
        {
          part: 'entry-3',
          number: '3',
          date: '9 March 2027',
          title: m('Acetylsalicylic acid'),
          state: m('countersigned'),
          mark: '8/10',
          initials: [{ text: 'MA', ink: 'student' }, { text: ' ' }, { text: 'HW', ink: 'instructor' }],
        },
        {
          part: null,
          number: '4',
          date: '16 March 2027',
          title: m('Isopentyl acetate'),
          state: m('struck out'),
          mark: '',
          initials: [{ text: 'MA', ink: 'student' }],
        },
      ],
    },
  ],
};

export const sampleReport = (more: Partial<ReportDocument> = {}): ReportDocument => ({
  title: 'Entry 3: Acetylsalicylic acid',
  author: 'Mira Ashdown',
  subject: 'Practical record, spring term',
  keywords: 'practical record; preparation',
  language: 'en-GB',
  createdAt: '2027-03-12T10:41:00.000Z',
  parts: [entryPart],
  embedded: [
    {
      name: 'entry.json',
      mediaType: 'application/json',
      text: '{"a":"ß < & \\u0001"}',
      description: 'The entry as canonical JSON',
      relationship: 'Data',
    },
  ],
  ...more,
});
