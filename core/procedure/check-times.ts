import type { EntryContent, StepRecord, TimeMark } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { instantOf, instantOfText } from './time-marks.ts';

/** Two clocks of one laboratory may differ by this much, ms, before a time counts as in the future. */
const clockSlackMs = 2 * 60_000;

type Timed = Pick<EntryContent, 'steps' | 'stepRecords' | 'notes'>;

/**
 * Checks the times of an entry against each other and, where the present is given, against it.
 *
 * @param now UTC, ISO 8601; null leaves out the question of the future
 * @error time-unreadable, time-in-future, done-before-started (facts: step), correction-without-reason;
 *   `where` names the mark: `stepRecords.<stepId>.done`
 */
export function checkTimes(content: Timed, now: string | null): readonly Problem[] {
  const present = now === null ? null : instantOfText(now);
  const problems: Problem[] = [];
  const numberOf = (stepId: string): number => content.steps.findIndex((step) => step.id === stepId) + 1;
  for (const record of content.stepRecords) {
    const step = numberOf(record.stepId);
    const where = `stepRecords.${record.stepId}`;
    if (record.started !== null)
      problems.push(...checkMark(record.started, `${where}.started`, step, present));
    if (record.done !== null) problems.push(...checkMark(record.done, `${where}.done`, step, present));
    problems.push(...checkOrder(record, where, step));
    for (const reading of record.readings) {
      problems.push(...checkMark(reading.mark, `${where}.readings.${reading.id}`, step, present));
    }
  }
  for (const note of content.notes) {
    const step = note.stepId === null ? 0 : numberOf(note.stepId);
    problems.push(...checkMark(note.mark, `notes.${note.id}`, step, present));
  }
  return problems;
}

function checkMark(mark: TimeMark, where: string, step: number, present: number | null): Problem[] {
  const facts = { step };
  const problems: Problem[] = [];
  if (mark.correction !== null && mark.correction.reason.trim() === '') {
    problems.push({ code: 'correction-without-reason', where, facts });
  }
  const instant = instantOf(mark);
  if (instant === null || instantOfText(mark.at) === null) {
    problems.push({ code: 'time-unreadable', where, facts });
  } else if (present !== null && instant > present + clockSlackMs) {
    problems.push({ code: 'time-in-future', where, facts });
  }
  return problems;
}

function checkOrder(record: StepRecord, where: string, step: number): Problem[] {
  const started = instantOf(record.started);
  const done = instantOf(record.done);
  if (started === null || done === null || done >= started) return [];
  return [{ code: 'done-before-started', where: `${where}.done`, facts: { step } }];
}
