import { convert } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import { formatQuantity } from '../quantity/format.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import { units } from '../quantity/unit.ts';
import type { Reading, StepLimit } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { durationText } from './time-marks.ts';

export type Direction = 'above' | 'below';

/** What a kind of limit is held against, and how going beyond it is said. */
export interface LimitKind {
  readonly dimensions: readonly Dimension[];
  readonly readings: readonly Reading['kind'][];
  /** Unit the comparison is made in, given the limit's. */
  readonly unitFor: (unit: UnitSymbol) => UnitSymbol;
  readonly differenceUnit: (unit: UnitSymbol) => UnitSymbol;
  readonly sentence: (by: number, text: string, direction: Direction) => string;
  /** What counts as 1 of `size`, in the unit of the comparison. */
  readonly grave: (limit: number) => number;
}

export const limitKinds: Readonly<Record<StepLimit['kind'], LimitKind>> = {
  temperature: {
    dimensions: ['temperature'],
    readings: ['temperature'],
    unitFor: () => '°C',
    differenceUnit: () => 'Δ°C',
    sentence: (_, text, direction) => `${text} too ${direction === 'above' ? 'warm' : 'cold'}`,
    grave: () => 5,
  },
  duration: {
    dimensions: ['time'],
    readings: ['duration'],
    unitFor: () => 'min',
    differenceUnit: () => 'min',
    sentence: (by, _, direction) => `${durationText(by)} ${direction === 'above' ? 'longer' : 'shorter'}`,
    grave: (limit) => Math.max(5, 0.25 * limit),
  },
  'addition-rate': {
    dimensions: ['addition-rate', 'drop-rate', 'heating-rate'],
    readings: ['rate'],
    unitFor: (unit) => unit,
    differenceUnit: (unit) => unit,
    sentence: (_, text, direction) => `${text} too ${direction === 'above' ? 'fast' : 'slow'}`,
    grave: (limit) => Math.max(0.25 * limit, 1e-9),
  },
};

export const isBlank = (entered: Entered | null): boolean => entered === null || entered.text.trim() === '';

/**
 * A limit whose ends stand the wrong way round ("10 to 5 °C"), which nothing can keep to.
 *
 * @param where path of the limit: `steps.<id>.limits.<index>`
 * @param step number of the step, from 1
 * @returns null when the ends are in order, open, or cannot be read
 * @error limit-reversed (facts: step, kind, from, to), at `where`
 */
export function reversedLimit(limit: StepLimit, where: string, step: number): Problem | null {
  const { from, to, kind } = limit;
  if (from === null || to === null || isBlank(from) || isBlank(to)) return null;
  const { dimensions } = limitKinds[kind];
  const [low, high] = [parseEntered(from, dimensions, where), parseEntered(to, dimensions, where)];
  if (!low.ok || !high.ok) return null;
  // A rate in mL/min and one in drops cannot be held against each other.
  if (units[low.value.unit].dimension !== units[high.value.unit].dimension) return null;
  if (convert(low.value, high.value.unit).value <= high.value.value) return null;
  const facts = { step, kind, from: formatQuantity(low.value).text, to: formatQuantity(high.value).text };
  return { code: 'limit-reversed', where, facts };
}
