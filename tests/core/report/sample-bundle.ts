import { createHash } from 'node:crypto';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { snapshot } from '../../../core/entry/snapshot.ts';
import { canonical } from '../../../core/record/canonical.ts';
import type { EntryContent, StepRecord, TimeMark } from '../../../core/record/content.ts';
import type { EntryBundle, PrintedVersion, RecordBundle } from '../../../core/report/bundle.ts';
import { contentFromTemplate, templates } from '../../../core/templates/index.ts';
import type { SignatureView } from '../../../core/contract/views.ts';

/** An entry of an invented college, as the services would hand it over: returned once, then countersigned. */

export const student = { id: 'p-ma', printedName: 'Mira Ashdown', initials: 'MA', role: 'student' } as const;
export const instructor = {
  id: 'p-hw',
  printedName: 'Dr Helen Warrick',
  initials: 'HW',
  role: 'instructor',
} as const;

const offsetMinutes = 60;
/** A mark at a local clock time of the day of the practical. */
export const mark = (clock: string, correction: TimeMark['correction'] = null): TimeMark => ({
  at: new Date(Date.parse(`2027-03-09T${clock}:00.000Z`) - offsetMinutes * 60_000).toISOString(),
  offsetMinutes,
  correction,
});

const template = templates.find((one) => one.id === 'acetylsalicylic-acid');
if (template === undefined) throw new Error('the template is gone');

function begun(): EntryContent {
  let next = 0;
  return contentFromTemplate(template as (typeof templates)[number], {
    date: '2027-03-09',
    newId: () => `id-${(next += 1)}`,
  });
}

const temperature = (id: string, clock: string, text: string, remark = '') => ({
  id,
  kind: 'temperature' as const,
  entered: { text, unit: '°C' as const },
  mark: mark(clock),
  remark,
});

function records(content: EntryContent): StepRecord[] {
  const plan: Omit<StepRecord, 'stepId'>[] = [
    {
      started: mark('13:05'),
      done: mark('13:18'),
      readings: [],
      seen: 'White needles; with the acid the mixture becomes slightly warm and clears at the edge.',
      deviation: '',
    },
    {
      started: mark('13:20'),
      done: mark('13:44'),
      readings: [
        temperature('r1', '13:24', '66', 'bath still warming'),
        temperature('r2', '13:28', '74'),
        temperature('r3', '13:33', '77.5'),
        temperature('r4', '13:39', '81'),
      ],
      seen: 'Clear, colourless solution after 9 min.',
      deviation: 'Bath overshot to 81 °C while the thermometer was out; ice chips added.',
    },
    {
      started: mark('13:46'),
      done: mark('13:50'),
      readings: [
        { id: 'r5', kind: 'rate', entered: { text: '0.8', unit: 'mL/min' }, mark: mark('13:48'), remark: '' },
      ],
      seen: 'Each drop hisses; smell of vinegar.',
      deviation: '',
    },
    {
      started: mark('13:51'),
      done: mark('14:20'),
      readings: [
        temperature('r6', '14:02', '22'),
        temperature('r7', '14:12', '4'),
        temperature('r8', '14:19', '3'),
      ],
      seen: 'Oil at first; crystals within seconds of scratching.',
      deviation: '',
    },
    {
      started: mark('14:22'),
      done: mark('14:31', { at: mark('14:29').at, reason: 'ticked off after washing the funnel' }),
      readings: [],
      seen: 'Filters quickly.',
      deviation: '',
    },
    { started: mark('14:33'), done: mark('14:36'), readings: [], seen: 'Slightly damp.', deviation: '' },
    {
      started: mark('14:38'),
      done: mark('15:14'),
      readings: [temperature('r9', '14:41', '52'), temperature('r10', '15:10', '6')],
      seen: 'Colourless plates.',
      deviation: '',
    },
  ];
  return content.steps
    .slice(0, plan.length)
    .map((step, index) => ({ ...(plan[index] as Omit<StepRecord, 'stepId'>), stepId: step.id }));
}

/** The entry as first handed in. */
export function firstContent(): EntryContent {
  const content = begun();
  const taken: Readonly<Record<string, string>> = {
    'salicylic acid': '2.52',
    'acetic anhydride': '5.5',
    'phosphoric acid': '0.40',
  };
  const rows = content.rows.map((row) => {
    const text = Object.entries(taken).find(([name]) => row.name.startsWith(name))?.[1];
    const isWorkUp = row.role === 'work-up' && row.planned !== null;
    const measure =
      text !== undefined && row.planned !== null
        ? { ...row.planned, entered: { ...row.planned.entered, text } }
        : null;
    return {
      ...row,
      taken: measure ?? (isWorkUp ? row.planned : null),
      remark: row.name === 'acetic anhydride' ? 'Cylinder read at 5.5 mL; not poured back.' : row.remark,
    };
  });
  return {
    ...content,
    rows,
    stepRecords: records(content),
    notes: [
      {
        id: 'n1',
        stepId: content.steps[1]?.id ?? null,
        text: 'Fume cupboard 3; sash at the mark.',
        mark: mark('13:21'),
      },
      {
        id: 'n2',
        stepId: null,
        text: 'Iron(III) chloride test: crude faintly violet, pure yellow.',
        mark: mark('15:40'),
      },
    ],
    calculation: 'The anhydride is in excess, so the yield is reckoned on salicylic acid.',
    worksheets: [
      {
        id: 'w1',
        calculation: 'mixing-two-strengths',
        inputs: {
          high: { text: '96', unit: '% w/w' },
          low: { text: '0', unit: '% w/w' },
          target: { text: '50', unit: '% w/w' },
          mass: { text: '20.0', unit: 'g' },
        },
        remark: 'Ethanol and water for washing the product on the funnel.',
      },
    ],
    result: {
      crude: { mass: { text: '2.98', unit: 'g' }, instrument: 'balance-0.01' },
      pure: { mass: { text: '2.41', unit: 'g' }, instrument: 'balance-0.01' },
      meltingRange: { from: { text: '133', unit: '°C' }, to: { text: '135', unit: '°C' } },
      boilingRange: { from: null, to: null, pressure: null },
      refractiveIndex: { value: null, temperature: null },
      appearance: 'Colourless plates, dry, no smell of acetic acid.',
    },
    discussion: 'The crude product was not quite dry, so its yield is too high.',
  };
}

/** Corrected after the return. */
export function secondContent(): EntryContent {
  const content = firstContent();
  return {
    ...content,
    discussion: `The crude product was not quite dry (it still smelt of acetic acid), so its yield of 2.98 g is too high; only the pure yield is to be trusted.

The bath stood above 80 °C for about two minutes. Since the mixture was already homogeneous this should not have changed the product; it may have favoured oligomers of salicylic acid, which stay in the mother liquor.

The loss in recrystallisation agrees with the solubility: about 0.3 g of acetylsalicylic acid dissolves in 100 mL of water at room temperature, more with ethanol present. A slower cooling would have given larger crystals, not more of them.`,
    stepRecords: content.stepRecords.map((record, index) =>
      index === 6
        ? { ...record, seen: 'Colourless plates; the solution stood 20 min at room temperature before ice.' }
        : record,
    ),
  };
}

export const hashOf = (value: unknown): string => createHash('sha256').update(canonical(value)).digest('hex');

const signature = (
  of: Pick<SignatureView, 'meaning' | 'n' | 'hash' | 'signedAt' | 'remark'>,
): SignatureView => {
  const person = of.meaning === 'performed' || of.meaning === 'amended' ? student : instructor;
  return {
    ...of,
    printedName: person.printedName,
    initials: person.initials,
    role: person.role,
    withdrawn: null,
    offsetMinutes,
  };
};

function version(
  n: number,
  content: EntryContent,
  reason: string,
  signatures: readonly Pick<SignatureView, 'meaning' | 'signedAt' | 'remark'>[],
): PrintedVersion {
  const hash = hashOf(content);
  return {
    n,
    hash,
    author: student.printedName,
    reason,
    content,
    computed: snapshot(computeEntry(content)),
    signatures: signatures.map((one) => signature({ ...one, n, hash })),
  };
}

export function sampleVersions(): PrintedVersion[] {
  return [
    version(1, firstContent(), '', [
      { meaning: 'performed', signedAt: '2027-03-10T17:22:05.000Z', remark: '' },
      {
        meaning: 'returned',
        signedAt: '2027-03-11T08:40:31.000Z',
        remark: 'Please say why the crude yield is so high.',
      },
    ]),
    version(2, secondContent(), 'Discussion extended as asked; cooling time added to step 7.', [
      { meaning: 'performed', signedAt: '2027-03-11T18:02:44.000Z', remark: '' },
      { meaning: 'countersigned', signedAt: '2027-03-12T09:40:51.000Z', remark: '8/10' },
    ]),
  ];
}

const event = (
  seq: number,
  at: string,
  who: typeof student | typeof instructor,
  action: string,
  what: string,
  more: object = {},
) => ({
  seq,
  at,
  offsetMinutes,
  who: who.printedName,
  role: who.role,
  action,
  what,
  changes: [],
  reason: '',
  device: 'bench-07',
  isClockBack: false,
  hash: createHash('sha256').update(String(seq)).digest('hex'),
  ...more,
});

export function sampleBundle(more: Partial<EntryBundle> = {}): EntryBundle {
  const versions = sampleVersions();
  const content = versions[1]?.content ?? firstContent();
  const stepIds = content.steps.map((step) => step.id);
  return {
    entry: {
      id: 'e-3',
      recordTitle: 'Practical record, spring term',
      course: 'Organic preparations, second year',
      owner: student,
      number: 3,
      state: 'countersigned',
      mark: '8/10',
      comments: [
        {
          id: 'c1',
          entry: 'e-3',
          n: 1,
          section: 'procedure',
          anchor: stepIds[1] ?? null,
          text: 'For how long was it above 80 °C? Say whether that matters.',
          author: { person: instructor.id, printedName: instructor.printedName, role: 'instructor' },
          at: '2027-03-11T08:31:10.000Z',
          isSettled: true,
        },
        {
          id: 'c2',
          entry: 'e-3',
          n: 1,
          section: 'discussion',
          anchor: null,
          text: 'A crude yield near 90 % of a damp product says little. What does the pure yield say?',
          author: { person: instructor.id, printedName: instructor.printedName, role: 'instructor' },
          at: '2027-03-11T08:39:02.000Z',
          isSettled: true,
        },
      ],
      amendmentReason: null,
      strikeOutReason: null,
    },
    institution: 'Ashgrove College',
    shown: { n: 2, content },
    versions,
    trail: [
      event(41, '2027-03-08T19:02:11.000Z', student, 'entry.begin', 'began entry 3'),
      event(
        44,
        '2027-03-09T12:18:40.000Z',
        student,
        'draft.save',
        'changed the draft of entry 3, in 2 places',
        {
          changes: [
            { path: 'acetic anhydride: taken', old: '', new: '5.5 mL, with cylinder iso 10 b' },
            {
              path: 'Step 1: seen',
              old: '',
              new: 'White needles; with the acid the mixture becomes slightly warm and clears at the edge.',
            },
          ],
        },
      ),
      event(
        52,
        '2027-03-10T17:22:05.000Z',
        student,
        'entry.sign',
        'signed entry 3, version 1 and handed it in',
      ),
      event(
        55,
        '2027-03-11T08:40:31.000Z',
        instructor,
        'entry.return',
        'returned entry 3, version 1 with comments',
        { device: 'office-2' },
      ),
      event(
        58,
        '2027-03-11T18:02:44.000Z',
        student,
        'entry.sign',
        'signed entry 3, version 2 and handed it in',
        {
          reason: 'Discussion extended as asked; cooling time added to step 7.',
        },
      ),
      event(
        61,
        '2027-03-12T09:40:51.000Z',
        instructor,
        'entry.countersign',
        'countersigned entry 3, version 2; it is locked',
        { device: 'office-2' },
      ),
    ],
    people: [student, instructor],
    createdAt: '2027-03-12T09:40:51.000Z',
    offsetMinutes,
    embedded: [
      {
        name: 'entry.json',
        mediaType: 'application/json',
        text: canonical(content),
        description: 'The entry as signed, canonical JSON',
        relationship: 'Data',
      },
    ],
    ...more,
  };
}

/** A record of `count` entries: the sample again and again, each with a number of its own. */
export function sampleRecord(count: number): RecordBundle {
  const bundle = sampleBundle({ embedded: [] });
  return {
    title: 'Practical record, spring term',
    course: 'Organic preparations, second year',
    institution: 'Ashgrove College',
    department: 'Department of Chemistry',
    owner: student,
    departmentFingerprint: '9C41 7A20 55EE 01BF 3D68',
    seal: null,
    boundBy: 'Ada Fennel',
    trailHead: hashOf('head'),
    trailLength: 118,
    entries: Array.from({ length: count }, (_, index) => ({
      ...bundle,
      entry: { ...bundle.entry, id: `e-${index + 1}`, number: index + 1 },
    })),
    createdAt: '2027-06-30T10:00:00.000Z',
    offsetMinutes: 120,
    embedded: [],
  };
}
