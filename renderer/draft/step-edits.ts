import type { EntryContent, PlannedStep, Reading, StepRecord, TimeMark } from '../../core/record/content.ts';
import { inserted, moved, patched, type Edit, type Restructuring } from './edits.ts';

const blankRecord = (stepId: string): StepRecord => ({
  stepId,
  started: null,
  done: null,
  readings: [],
  seen: '',
  deviation: '',
});

/** What was written down for a step; a blank record where nothing was yet. */
export function recordOf(content: EntryContent, stepId: string): StepRecord {
  return content.stepRecords.find((record) => record.stepId === stepId) ?? blankRecord(stepId);
}

export const patchStep =
  (stepId: string, patch: Partial<PlannedStep>): Edit =>
  (content) => ({ ...content, steps: patched(content.steps, stepId, patch) });

export const patchRecord =
  (stepId: string, patch: Partial<StepRecord>): Edit =>
  (content) => {
    const isThere = content.stepRecords.some((record) => record.stepId === stepId);
    return {
      ...content,
      stepRecords: isThere
        ? content.stepRecords.map((record) => (record.stepId === stepId ? { ...record, ...patch } : record))
        : [...content.stepRecords, { ...blankRecord(stepId), ...patch }],
    };
  };

/** Ticks a step off. A step never started gets no start: an unknown time is not invented. */
export const tickStep = (stepId: string, mark: TimeMark | null): Edit => patchRecord(stepId, { done: mark });

export const addReading =
  (stepId: string, reading: Reading): Edit =>
  (content) =>
    patchRecord(stepId, { readings: [...recordOf(content, stepId).readings, reading] })(content);

export const patchReading =
  (stepId: string, readingId: string, patch: Partial<Reading>): Edit =>
  (content) =>
    patchRecord(stepId, { readings: patched(recordOf(content, stepId).readings, readingId, patch) })(content);

export function removeReading(
  content: EntryContent,
  stepId: string,
  readingId: string,
): Restructuring | null {
  const readings = recordOf(content, stepId).readings;
  const index = readings.findIndex((reading) => reading.id === readingId);
  const reading = readings[index];
  if (reading === undefined) return null;
  return {
    label: `removed the reading ${reading.entered.text} ${reading.entered.unit}`,
    apply: (now) =>
      patchRecord(stepId, {
        readings: recordOf(now, stepId).readings.filter((other) => other.id !== readingId),
      })(now),
    revert: (now) =>
      patchRecord(stepId, { readings: inserted(recordOf(now, stepId).readings, index, reading) })(now),
  };
}

export function addStep(step: PlannedStep, index: number): Restructuring {
  return {
    label: 'added a step',
    apply: (now) => ({ ...now, steps: inserted(now.steps, index, step) }),
    revert: (now) => ({ ...now, steps: now.steps.filter((other) => other.id !== step.id) }),
  };
}

/** Takes a step out together with what was written at it; its free notes stay with the preparation. */
export function removeStep(content: EntryContent, stepId: string): Restructuring | null {
  const index = content.steps.findIndex((step) => step.id === stepId);
  const step = content.steps[index];
  if (step === undefined) return null;
  const record = content.stepRecords.find((other) => other.stepId === stepId);
  const noteIds = new Set(content.notes.filter((note) => note.stepId === stepId).map((note) => note.id));
  return {
    label: `removed step ${index + 1}${record === undefined ? '' : ' and what was noted at it'}`,
    apply: (now) => ({
      ...now,
      steps: now.steps.filter((other) => other.id !== stepId),
      stepRecords: now.stepRecords.filter((other) => other.stepId !== stepId),
      notes: now.notes.map((note) => (note.stepId === stepId ? { ...note, stepId: null } : note)),
    }),
    revert: (now) => ({
      ...now,
      steps: inserted(now.steps, index, step),
      stepRecords: record === undefined ? now.stepRecords : [...now.stepRecords, record],
      notes: now.notes.map((note) => (noteIds.has(note.id) ? { ...note, stepId } : note)),
    }),
  };
}

export function moveStep(content: EntryContent, stepId: string, by: -1 | 1): Restructuring {
  const index = content.steps.findIndex((step) => step.id === stepId);
  return {
    label: `moved step ${index + 1} ${by < 0 ? 'up' : 'down'}`,
    apply: (now) => ({ ...now, steps: moved(now.steps, stepId, by) }),
    revert: (now) => ({ ...now, steps: moved(now.steps, stepId, -by) }),
  };
}
