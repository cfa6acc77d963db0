import { convert } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import { formatNumber, printedUnit } from '../quantity/format.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import { exponentOf } from '../quantity/uncertainty.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import { units } from '../quantity/unit.ts';
import type { EntryContent, PlannedStep, StepLimit, StepRecord } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { isBlank, limitKinds as kinds, reversedLimit } from './step-limits.ts';
import type { Direction, LimitKind } from './step-limits.ts';
import { durationText, minutesBetween } from './time-marks.ts';

export type { Direction } from './step-limits.ts';

/** A limit that was not kept. Of several readings the worst on each end counts. */
export interface Exceedance {
  readonly kind: StepLimit['kind'];
  readonly direction: Direction;
  /** How far beyond the limit, positive. */
  readonly by: Quantity;
  readonly limit: Entered;
  /** The reading that shows it; null when it is the time between the step's marks. */
  readonly readingId: string | null;
  /** "6 °C too warm", "4 min longer" */
  readonly sentence: string;
  /** How grave, to sort by: 1 is worth a question. Common practice, no source. */
  readonly size: number;
}

export interface AssessedReading {
  readonly readingId: string;
  readonly verdict: 'within' | Direction | 'no-limit' | 'unreadable';
}

export interface StepAssessment {
  readonly stepId: string;
  /** Position in the procedure, from 1. */
  readonly number: number;
  readonly state: 'open' | 'started' | 'done';
  /** Between the marks, min; null unless both are there and in order. */
  readonly duration: Quantity | null;
  /** Duration less the planned time, min, signed; null when either is unknown. */
  readonly againstPlan: Quantity | null;
  readonly readings: readonly AssessedReading[];
  readonly exceedances: readonly Exceedance[];
  /** True when nothing was exceeded or the student wrote why. */
  readonly isExplained: boolean;
  /** For the fold between the pages: what differs, in a few words; empty when nothing does. */
  readonly foldText: string;
  /** Limits, readings and planned times that cannot be read. */
  readonly problems: readonly Problem[];
}

interface Measured {
  readonly value: number;
  /** Half a step of the last digit: what a limit is not finer than. */
  readonly slack: number;
  /** Power of ten of the last digit. */
  readonly place: number;
}

function measure(quantity: Quantity, unit: UnitSymbol): Measured {
  const fitted = convert(quantity, unit);
  const figures = fitted.significantFigures ?? 1;
  const place = exponentOf(quantity.value) - figures + 1;
  const step = 10 ** place * (units[quantity.unit].factor / units[unit].factor);
  return { value: fitted.value, slack: step / 2, place: Math.round(Math.log10(step)) };
}

class StepAssessor {
  readonly problems: Problem[] = [];
  readonly exceedances: Exceedance[] = [];
  readonly verdicts = new Map<string, AssessedReading['verdict']>();
  private readonly step: PlannedStep;
  private readonly record: StepRecord | null;
  private readonly minutes: number | null;
  private readonly number: number;

  constructor(step: PlannedStep, number: number, record: StepRecord | null, minutes: number | null) {
    this.step = step;
    this.number = number;
    this.record = record;
    this.minutes = minutes;
    for (const reading of record?.readings ?? []) this.verdicts.set(reading.id, 'no-limit');
  }

  private read(entered: Entered, dimensions: readonly Dimension[], where: string): Quantity | null {
    const parsed = parseEntered(entered, dimensions, where);
    if (parsed.ok) return parsed.value;
    this.problems.push(parsed.error);
    return null;
  }

  assess(): void {
    for (const [index, limit] of this.step.limits.entries()) {
      const where = `steps.${this.step.id}.limits.${index}`;
      const reversed = reversedLimit(limit, where, this.number);
      if (reversed !== null) {
        // Nothing can keep to it, and holding the record against it would find fault with what was right.
        this.problems.push(reversed);
        continue;
      }
      this.check(limit, 'below', limit.from, `${where}.from`);
      this.check(limit, 'above', limit.to, `${where}.to`);
    }
  }

  private check(limit: StepLimit, direction: Direction, end: Entered | null, where: string): void {
    if (end === null || isBlank(end)) return;
    const kind = kinds[limit.kind];
    const bound = this.read(end, kind.dimensions, where);
    if (bound === null) return;
    const unit = kind.unitFor(bound.unit);
    const edge = measure(bound, unit);
    let worst: { by: number; readingId: string | null; place: number } | null = null;
    for (const { id, measured } of this.candidates(limit.kind, unit)) {
      const by = direction === 'above' ? measured.value - edge.value : edge.value - measured.value;
      // A clock reads finer than "30 min" means; a typed reading stands as it is.
      const isOut = by > (id === null ? edge.slack : 1e-9 * Math.abs(edge.value));
      if (id !== null) this.judge(id, isOut ? direction : 'within');
      if (isOut && (worst === null || by > worst.by)) {
        worst = { by, readingId: id, place: Math.max(measured.place, edge.place) };
      }
    }
    if (worst === null) return;
    this.exceedances.push(exceedance(kind, limit.kind, direction, end, unit, edge.value, worst));
  }

  /** Out of one limit stays out, whatever the other says. */
  private judge(readingId: string, verdict: AssessedReading['verdict']): void {
    const known = this.verdicts.get(readingId);
    if (known === 'above' || known === 'below') return;
    this.verdicts.set(readingId, verdict);
  }

  private candidates(
    kind: StepLimit['kind'],
    unit: UnitSymbol,
  ): readonly { readonly id: string | null; readonly measured: Measured }[] {
    const { readings, dimensions } = kinds[kind];
    const found: { id: string | null; measured: Measured }[] = [];
    for (const reading of this.record?.readings ?? []) {
      if (!readings.includes(reading.kind)) continue;
      const where = `stepRecords.${this.step.id}.readings.${reading.id}`;
      const quantity = parseEntered(reading.entered, dimensions, where);
      if (!quantity.ok) {
        this.verdicts.set(reading.id, 'unreadable');
        const isKnown = this.problems.some((one) => one.where === where);
        if (!isKnown) this.problems.push(quantity.error);
      } else if (units[quantity.value.unit].dimension === units[unit].dimension) {
        found.push({ id: reading.id, measured: measure(quantity.value, unit) });
      }
    }
    // What the student timed speaks of the operation itself; the marks also hold the setting-up.
    if (kind === 'duration' && found.length === 0 && this.minutes !== null) {
      found.push({ id: null, measured: { value: this.minutes, slack: 0, place: 0 } });
    }
    return found;
  }
}

function exceedance(
  kind: LimitKind,
  name: StepLimit['kind'],
  direction: Direction,
  limit: Entered,
  unit: UnitSymbol,
  edge: number,
  { by, readingId, place }: { by: number; readingId: string | null; place: number },
): Exceedance {
  const figures = Math.max(1, exponentOf(by) - place + 1);
  const differenceUnit = kind.differenceUnit(unit);
  const quantity = {
    value: by,
    unit: differenceUnit,
    standardUncertainty: null,
    significantFigures: figures,
  };
  const text = `${formatNumber(by, figures)}\u2009${printedUnit(differenceUnit)}`;
  return {
    kind: name,
    direction,
    by: quantity,
    limit,
    readingId,
    sentence: kind.sentence(by, text, direction),
    size: by / kind.grave(Math.abs(edge)),
  };
}

const minutesQuantity = (value: number): Quantity => ({
  value,
  unit: 'min',
  standardUncertainty: null,
  significantFigures: Math.max(1, exponentOf(value) + 1),
});

/** Differences from the planned time worth a word in the fold: a minute, and a tenth of the plan. */
const worthMentioning = (difference: number, planned: number): boolean =>
  Math.abs(difference) >= Math.max(1, 0.1 * planned);

function planText(difference: number): string {
  return `${durationText(difference)} ${difference > 0 ? 'longer' : 'shorter'}`;
}

function assessStep(step: PlannedStep, index: number, record: StepRecord | null): StepAssessment {
  const between = minutesBetween(record?.started ?? null, record?.done ?? null);
  const minutes = between !== null && between >= 0 ? between : null;
  const assessor = new StepAssessor(step, index + 1, record, minutes);
  assessor.assess();
  const { exceedances, problems } = assessor;
  let againstPlan: number | null = null;
  let isWorthWords = false;
  if (step.plannedMinutes !== null && !isBlank(step.plannedMinutes)) {
    const planned = parseEntered(step.plannedMinutes, 'time', `steps.${step.id}.plannedMinutes`);
    if (!planned.ok) problems.push(planned.error);
    else if (minutes !== null) {
      const plannedMinutes = convert(planned.value, 'min').value;
      againstPlan = minutes - plannedMinutes;
      isWorthWords = worthMentioning(againstPlan, plannedMinutes);
    }
  }
  const words = exceedances.map((one) => one.sentence);
  const hasDuration = exceedances.some((one) => one.kind === 'duration');
  if (againstPlan !== null && isWorthWords && !hasDuration) words.push(planText(againstPlan));
  const isDone = (record?.done ?? null) !== null;
  return {
    stepId: step.id,
    number: index + 1,
    state: isDone ? 'done' : (record?.started ?? null) !== null ? 'started' : 'open',
    duration: minutes === null ? null : minutesQuantity(minutes),
    againstPlan: againstPlan === null ? null : minutesQuantity(againstPlan),
    readings: [...assessor.verdicts].map(([readingId, verdict]) => ({ readingId, verdict })),
    exceedances,
    isExplained: exceedances.length === 0 || (record?.deviation ?? '').trim() !== '',
    foldText: words.join(', '),
    problems,
  };
}

/**
 * Holds what was recorded at each step against its limits: temperatures and rates by their readings,
 * durations by a timed reading, else by the step's own marks (corrected times count).
 *
 * @returns one assessment per planned step, in the order of the procedure
 * @error within the assessments: the codes of `parseEntered`, at the limit or reading at fault
 */
export function assessSteps(content: Pick<EntryContent, 'steps' | 'stepRecords'>): readonly StepAssessment[] {
  return content.steps.map((step, index) =>
    assessStep(step, index, content.stepRecords.find((record) => record.stepId === step.id) ?? null),
  );
}
