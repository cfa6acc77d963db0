import type { ReagentRow } from '../reaction/table-types.ts';
import type {
  EntryContent,
  FreeNote,
  HazardNote,
  PlannedStep,
  Reading,
  Section,
  StepRecord,
  Worksheet,
} from './content.ts';
import {
  comparable,
  enteredText,
  inputText,
  leaves,
  limitLabel,
  markText,
  measureText,
  originText,
  rangeText,
  roleText,
  supplyText,
  instrumentText,
} from './content-text.ts';
import { dateText } from './when.ts';

/** One thing an entry says, as text, with the words that name it. */
export interface Field {
  readonly key: string;
  /** After the item's label: `taken`. */
  readonly label: string;
  /** What is compared. */
  readonly text: string;
  /** What is shown, where the text itself is made of ids. */
  readonly shown?: string;
}

/**
 * A piece of an entry that comes and goes as a whole: the free-standing texts, a reagent row, a step.
 * `path` is stable across versions, because list members are named by their id and not their place.
 */
export interface Item {
  readonly path: string;
  readonly section: Section | 'title';
  /** `Reagents, salicylic acid`. */
  readonly label: string;
  /** Always there, so never "added" or "removed". */
  readonly isFixed: boolean;
  readonly fields: readonly Field[];
}

const field = (key: string, label: string, text: string, shown?: string): Field =>
  shown === undefined ? { key, label, text } : { key, label, text, shown };

/** A field whose words may say less than the value holds: the value is compared, the words are shown. */
const worded = (key: string, label: string, value: unknown, words: string): Field =>
  field(key, label, comparable(value), words);

/** What no field above speaks of: an entry may come to hold more than this file knows. */
const others = (value: object, known: readonly string[]): object =>
  Object.fromEntries(Object.entries(value).filter(([key]) => !known.includes(key)));
const rest = (value: object, known: readonly string[]): Field =>
  field('rest', 'other details', leaves(others(value, known)));

const rowKeys = [
  'id',
  'name',
  'formula',
  'equationFormula',
  'unitsPerFormula',
  'role',
  'supply',
  'origin',
  'planned',
  'taken',
  'remark',
  'smiles',
  'compoundId',
  'valuesFrom',
] as const satisfies readonly (keyof ReagentRow)[];

function rowItem(row: ReagentRow): Item {
  return {
    path: `rows.${row.id}`,
    section: 'reagents',
    label: `Reagents, ${row.name.trim() || 'unnamed row'}`,
    isFixed: false,
    fields: [
      field('name', 'name', row.name),
      field('formula', 'formula', row.formula),
      field('equationFormula', 'formula in the equation', row.equationFormula),
      field('unitsPerFormula', 'formula units in the equation', String(row.unitsPerFormula)),
      field('role', 'role', roleText[row.role]),
      worded('supply', 'supplied as', row.supply, supplyText(row.supply)),
      worded('origin', 'made in', row.origin, originText(row.origin)),
      worded('planned', 'planned', row.planned, measureText(row.planned)),
      worded('taken', 'taken', row.taken, measureText(row.taken)),
      field('remark', 'remark', row.remark),
      field('smiles', 'structure', row.smiles ?? ''),
      field('compoundId', 'compound', row.compoundId ?? ''),
      field('valuesFrom', 'values taken from', row.valuesFrom ?? ''),
      rest(row, rowKeys),
    ],
  };
}

const stepItem = (step: PlannedStep, index: number): Item => ({
  path: `steps.${step.id}`,
  section: 'procedure',
  label: `Procedure, step ${index + 1}`,
  isFixed: false,
  fields: [
    field('text', 'what is to be done', step.text),
    field('caution', 'caution', step.caution),
    field(
      'limits',
      'limits',
      step.limits.map((limit) => `${limitLabel[limit.kind]} ${rangeText(limit.from, limit.to)}`).join('; '),
    ),
    field('holdPoint', 'hold point', step.holdPoint),
    field('plannedMinutes', 'planned time', enteredText(step.plannedMinutes)),
    rest(step, ['id', 'text', 'caution', 'limits', 'holdPoint', 'plannedMinutes']),
  ],
});

const readingText = (reading: Reading): string =>
  [
    `${reading.kind === 'other' ? 'reading' : reading.kind} ${enteredText(reading.entered)}`,
    markText(reading.mark),
    reading.remark,
  ]
    .filter((part) => part !== '')
    .join(', ');

function recordItem(record: StepRecord, stepNumber: number): Item {
  const label = stepNumber === 0 ? 'Observations, a removed step' : `Observations, step ${stepNumber}`;
  return {
    path: `stepRecords.${record.stepId}`,
    section: 'observations',
    label,
    // A step that nothing was noted for says nothing, with or without its empty record.
    isFixed: true,
    fields: [
      field('started', 'started', markText(record.started)),
      field('done', 'done', markText(record.done)),
      ...record.readings.map((reading) =>
        field(
          `readings.${reading.id}`,
          `${reading.kind === 'other' ? 'reading' : reading.kind}`,
          readingText(reading),
        ),
      ),
      field('seen', 'what was seen', record.seen),
      field('deviation', 'why it was done otherwise', record.deviation),
      rest(record, ['stepId', 'started', 'done', 'readings', 'seen', 'deviation']),
    ],
  };
}

const noteItem = (note: FreeNote, stepNumber: number): Item => ({
  path: `notes.${note.id}`,
  section: 'observations',
  label: stepNumber === 0 ? 'Observations, note' : `Observations, note at step ${stepNumber}`,
  isFixed: false,
  fields: [
    field('text', 'text', note.text),
    field('mark', 'time', markText(note.mark)),
    field(
      'stepId',
      'belongs to',
      note.stepId ?? '',
      note.stepId === null ? 'the preparation as a whole' : `step ${stepNumber}`,
    ),
  ],
});

const hazardItem = (hazard: HazardNote, place: number): Item => ({
  path: `hazards.${hazard.rowId ?? `${hazard.substance}#${place}`}`,
  section: 'hazards',
  label: `Hazards, ${hazard.substance || 'unnamed substance'}`,
  isFixed: false,
  fields: [
    field('substance', 'substance', hazard.substance),
    field('signalWord', 'signal word', hazard.signalWord),
    field('statements', 'statements', hazard.statements.join(', ')),
    field('pictograms', 'pictograms', hazard.pictograms.join(', ')),
    field('source', 'source', hazard.source),
    rest(hazard, ['rowId', 'substance', 'signalWord', 'statements', 'pictograms', 'source']),
  ],
});

const worksheetItem = (sheet: Worksheet): Item => ({
  path: `worksheets.${sheet.id}`,
  section: 'calculation',
  label: `Calculation, ${sheet.calculation.replaceAll('-', ' ')}`,
  isFixed: false,
  fields: [
    field('calculation', 'kind', sheet.calculation.replaceAll('-', ' ')),
    ...Object.entries(sheet.inputs).map(([key, input]) =>
      field(`inputs.${key}`, key.replaceAll('-', ' '), inputText(input)),
    ),
    field('remark', 'remark', sheet.remark),
    rest(sheet, ['id', 'calculation', 'inputs', 'remark']),
  ],
});

const fixed = (section: Item['section'], label: string, fields: readonly Field[]): Item => ({
  path: '',
  section,
  label,
  isFixed: true,
  fields,
});

const resultKeys = ['crude', 'pure', 'meltingRange', 'boilingRange', 'refractiveIndex', 'appearance'];

function resultItem({ result }: EntryContent): Item {
  const { crude, pure, meltingRange, boilingRange, refractiveIndex } = result;
  const weighing = (w: typeof crude): string =>
    [enteredText(w.mass), w.instrument && `with ${instrumentText(w.instrument)}`].filter(Boolean).join(', ');
  return fixed('result', 'Result', [
    field('result.crude', 'crude mass', weighing(crude)),
    field('result.pure', 'pure mass', weighing(pure)),
    field('result.meltingRange', 'melting range', rangeText(meltingRange.from, meltingRange.to)),
    field('result.boilingRange', 'boiling range', rangeText(boilingRange.from, boilingRange.to)),
    field('result.boilingPressure', 'pressure when boiling', enteredText(boilingRange.pressure)),
    field('result.refractiveIndex', 'refractive index', enteredText(refractiveIndex.value)),
    field(
      'result.refractionTemperature',
      'temperature of the refractometer',
      enteredText(refractiveIndex.temperature),
    ),
    field('result.appearance', 'appearance', result.appearance),
    field('result.rest', 'other details', leaves(others(result, resultKeys))),
  ]);
}

function literatureItem({ literature }: EntryContent): Item {
  const { meltingRange, boilingPoint, refractiveIndex } = literature;
  const cited = (text: string, source: string | undefined): string =>
    text === '' ? '' : `${text} (${source ?? ''})`;
  return fixed('result', 'Literature', [
    field(
      'literature.meltingRange',
      'melting range',
      cited(rangeText(meltingRange?.from ?? null, meltingRange?.to ?? null), meltingRange?.source),
    ),
    field(
      'literature.boilingPoint',
      'boiling point',
      cited(
        [enteredText(boilingPoint?.value ?? null), enteredText(boilingPoint?.pressure ?? null)]
          .filter((part) => part !== '')
          .join(' at '),
        boilingPoint?.source,
      ),
    ),
    field(
      'literature.refractiveIndex',
      'refractive index',
      cited(
        [enteredText(refractiveIndex?.value ?? null), enteredText(refractiveIndex?.temperature ?? null)]
          .filter((part) => part !== '')
          .join(' at '),
        refractiveIndex?.source,
      ),
    ),
  ]);
}

const contentKeys = [
  'format',
  'title',
  'template',
  'date',
  'aim',
  'principle',
  'equation',
  'requirements',
  'hazards',
  'precautions',
  'rows',
  'productRowId',
  'steps',
  'stepRecords',
  'notes',
  'calculation',
  'worksheets',
  'expectedYield',
  'result',
  'literature',
  'discussion',
  'attachments',
] as const satisfies readonly (keyof EntryContent)[];

/** Everything an entry says, in the order it prints. */
export function contentItems(content: EntryContent): readonly Item[] {
  const numberOf = new Map(content.steps.map((step, index) => [step.id, index + 1]));
  const nameOf = new Map(content.rows.map((row) => [row.id, row.name]));
  const template = content.template;
  return [
    fixed('title', 'Title', [
      field('title', '', content.title),
      field('date', 'date of the practical', dateText(content.date)),
      field(
        'template',
        'procedure template',
        template === null ? '' : `${template.id}, version ${template.version}`,
      ),
    ]),
    fixed('aim', 'Aim', [field('aim', '', content.aim)]),
    fixed('principle', 'Principle', [
      field('principle', '', content.principle),
      field('equation', 'equation', content.equation),
    ]),
    fixed('requirements', 'Requirements', [field('requirements', '', content.requirements.join('\n'))]),
    ...content.hazards.map(hazardItem),
    fixed('hazards', 'Precautions', [field('precautions', '', content.precautions)]),
    ...content.rows.map(rowItem),
    fixed('reagents', 'Reagents', [
      field(
        'rows.order',
        'order of the rows',
        content.rows.map((row) => row.id).join(' '),
        content.rows.map((row) => row.name).join(', '),
      ),
      field(
        'productRowId',
        'product that yields refer to',
        content.productRowId ?? '',
        content.productRowId === null ? '' : (nameOf.get(content.productRowId) ?? content.productRowId),
      ),
    ]),
    ...content.steps.map(stepItem),
    fixed('procedure', 'Procedure', [
      field(
        'steps.order',
        'order of the steps',
        content.steps.map((step) => step.id).join(' '),
        content.steps.map((step, index) => `${index + 1}. ${step.text}`).join('\n'),
      ),
    ]),
    ...content.stepRecords.map((record) => recordItem(record, numberOf.get(record.stepId) ?? 0)),
    ...content.notes.map((note) =>
      noteItem(note, note.stepId === null ? 0 : (numberOf.get(note.stepId) ?? 0)),
    ),
    fixed('calculation', 'Calculation', [
      field('calculation', '', content.calculation),
      field('expectedYield', 'expected yield', enteredText(content.expectedYield)),
    ]),
    ...content.worksheets.map(worksheetItem),
    resultItem(content),
    literatureItem(content),
    fixed('discussion', 'Discussion', [field('discussion', '', content.discussion)]),
    fixed('discussion', 'Entry', [field('rest', 'other details', leaves(others(content, contentKeys)))]),
    ...content.attachments.map((note): Item => ({
      path: `attachments.${note.sha256}`,
      section: note.section,
      label: `Attachment ${note.name}`,
      isFixed: false,
      fields: [
        field('name', 'file name', note.name),
        field('kind', 'kind of file', `${note.mediaType}, ${note.sizeBytes} bytes`),
        field('caption', 'caption', note.caption),
        field('section', 'placed under', note.section),
        rest(note, ['sha256', 'name', 'mediaType', 'sizeBytes', 'caption', 'section']),
      ],
    })),
  ];
}
