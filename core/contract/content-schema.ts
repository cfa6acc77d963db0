import * as v from 'valibot';
import { sections } from '../record/content.ts';
import {
  calendarDate,
  count,
  entered,
  enteredOrNull,
  id,
  instant,
  limits,
  listById,
  listOf,
  longText,
  offsetMinutes,
  sha256,
  shortText,
} from './parts.ts';

export const section = v.picklist(sections);

// Entries saved before solutions could have a density lack the key: it is left out, never filled in, so
// that what was signed keeps its bytes.
const densityTemperature = v.exactOptional(enteredOrNull);
const weighed = { density: v.exactOptional(enteredOrNull), densityTemperature };
const byMass = { density: enteredOrNull, densityTemperature };
const strength = v.variant('kind', [
  v.strictObject({ kind: v.literal('amount-concentration'), entered, ...weighed }),
  v.strictObject({ kind: v.literal('mass-fraction'), entered, ...byMass }),
  v.strictObject({ kind: v.literal('mass-per-volume'), entered, ...weighed }),
  v.strictObject({ kind: v.literal('volume-fraction'), entered, neatDensity: enteredOrNull, ...weighed }),
  v.strictObject({ kind: v.literal('molality'), entered, ...byMass }),
  v.strictObject({ kind: v.literal('normality'), entered, equivalenceFactor: enteredOrNull, ...weighed }),
  v.strictObject({ kind: v.literal('parts-per-million'), entered, ...byMass }),
  v.strictObject({
    kind: v.literal('parts-by-volume'),
    entered,
    stockParts: enteredOrNull,
    waterParts: enteredOrNull,
    ...weighed,
  }),
  v.strictObject({ kind: v.literal('oxygen-volumes'), entered, ...weighed }),
]);

const supply = v.variant('kind', [
  v.strictObject({ kind: v.literal('solid'), assay: enteredOrNull }),
  v.strictObject({
    kind: v.literal('neat-liquid'),
    density: enteredOrNull,
    densityTemperature: enteredOrNull,
    assay: enteredOrNull,
  }),
  v.strictObject({ kind: v.literal('solution'), strength: v.nullable(strength) }),
  v.strictObject({ kind: v.literal('gas'), temperature: enteredOrNull, pressure: enteredOrNull }),
]);

const measure = v.strictObject({
  by: v.picklist(['mass', 'volume', 'amount', 'equivalents', 'mole-percent']),
  entered,
  instrument: v.nullable(id),
  // Left out, never filled in, for the same reason as the density of a solution above.
  drop: v.exactOptional(
    v.strictObject({
      drops: enteredOrNull,
      make: enteredOrNull,
      uncertainty: enteredOrNull,
      countUncertainty: enteredOrNull,
    }),
  ),
});

const earlierStage = {
  entryId: id,
  entryNumber: count,
  title: shortText,
  yield: enteredOrNull,
  yieldUncertainty: enteredOrNull,
};
const rowOrigin = v.strictObject({
  ...earlierStage,
  recordId: id,
  mass: enteredOrNull,
  lines: listOf(listOf(v.strictObject(earlierStage), 50), 50),
});

export const reagentRow = v.strictObject({
  id,
  name: shortText,
  formula: shortText,
  equationFormula: shortText,
  unitsPerFormula: v.pipe(v.number(), v.finite(), v.minValue(0), v.maxValue(1000)),
  compoundId: v.nullable(id),
  valuesFrom: v.exactOptional(shortText),
  smiles: v.nullable(shortText),
  role: v.picklist([
    'reactant',
    'reagent',
    'catalyst',
    'solvent',
    'work-up',
    'drying-agent',
    'product',
    'by-product',
  ]),
  supply,
  origin: v.nullable(rowOrigin),
  planned: v.nullable(measure),
  taken: v.nullable(measure),
  remark: longText,
});

const timeMark = v.strictObject({
  at: instant,
  offsetMinutes,
  correction: v.nullable(v.strictObject({ at: instant, reason: shortText })),
});

const stepLimit = v.strictObject({
  kind: v.picklist(['temperature', 'duration', 'addition-rate']),
  from: enteredOrNull,
  to: enteredOrNull,
});

const plannedStep = v.strictObject({
  id,
  text: longText,
  caution: longText,
  limits: listOf(stepLimit, 20),
  holdPoint: longText,
  plannedMinutes: enteredOrNull,
});

const reading = v.strictObject({
  id,
  kind: v.picklist(['temperature', 'duration', 'volume', 'mass', 'rate', 'acidity', 'other']),
  entered,
  mark: timeMark,
  remark: longText,
});

const stepRecord = v.strictObject({
  stepId: id,
  started: v.nullable(timeMark),
  done: v.nullable(timeMark),
  readings: listById(reading, limits.readings, (item) => item.id),
  seen: longText,
  deviation: longText,
});

const freeNote = v.strictObject({ id, stepId: v.nullable(id), text: longText, mark: timeMark });

const weighing = v.strictObject({ mass: enteredOrNull, instrument: v.nullable(id) });

const resultRecord = v.strictObject({
  crude: weighing,
  pure: weighing,
  meltingRange: v.strictObject({ from: enteredOrNull, to: enteredOrNull }),
  boilingRange: v.strictObject({ from: enteredOrNull, to: enteredOrNull, pressure: enteredOrNull }),
  refractiveIndex: v.strictObject({ value: enteredOrNull, temperature: enteredOrNull }),
  appearance: longText,
});

const literatureValues = v.strictObject({
  meltingRange: v.nullable(v.strictObject({ from: entered, to: enteredOrNull, source: shortText })),
  boilingPoint: v.nullable(v.strictObject({ value: entered, pressure: enteredOrNull, source: shortText })),
  refractiveIndex: v.nullable(v.strictObject({ value: entered, temperature: entered, source: shortText })),
});

const hazardNote = v.strictObject({
  rowId: v.nullable(id),
  substance: shortText,
  signalWord: v.picklist(['', 'Danger', 'Warning']),
  statements: listOf(shortText, 100),
  pictograms: listOf(shortText, 20),
  source: shortText,
});

export const attachmentNote = v.strictObject({
  sha256,
  name: shortText,
  mediaType: shortText,
  sizeBytes: count,
  section,
  caption: longText,
});

const worksheetField = v.union([entered, longText]);
const worksheet = v.strictObject({
  id,
  calculation: id,
  inputs: v.pipe(
    v.record(id, v.union([entered, longText, listOf(v.record(id, worksheetField), limits.items)])),
    v.check((inputs) => Object.keys(inputs).length <= 100, 'has more than 100 fields'),
  ),
  remark: longText,
});

/**
 * The content of an entry, to the key. What it says may be nonsense (a student is in the middle of a
 * number): that is for `core/entry` to remark on. Its shape may not.
 */
export const entryContent = v.strictObject({
  format: v.literal('fairleaf-entry/1'),
  title: shortText,
  template: v.nullable(v.strictObject({ id, version: shortText })),
  date: calendarDate,
  aim: longText,
  principle: longText,
  equation: shortText,
  requirements: listOf(shortText, limits.items),
  hazards: listOf(hazardNote, limits.rows),
  precautions: longText,
  rows: listById(reagentRow, limits.rows, (item) => item.id),
  productRowId: v.nullable(id),
  steps: listById(plannedStep, limits.steps, (item) => item.id),
  stepRecords: listById(stepRecord, limits.steps, (item) => item.stepId),
  notes: listById(freeNote, limits.notes, (item) => item.id),
  calculation: longText,
  worksheets: listById(worksheet, 100, (item) => item.id),
  expectedYield: enteredOrNull,
  result: resultRecord,
  literature: literatureValues,
  discussion: longText,
  attachments: listOf(attachmentNote, 200),
});
