import { printedUnit } from '../../core/quantity/format.ts';
import type { Entered } from '../../core/quantity/quantity.ts';
import type { StepLimit } from '../../core/record/content.ts';

const shown = ({ text, unit }: Entered): string => `${text.trim()}\u2009${printedUnit(unit)}`;

/** A limit as it stands in a procedure: `70–80 °C`, `at least 15 min`, `below 5 °C`. */
export function limitText(limit: StepLimit): string {
  const { from, to } = limit;
  if (from !== null && to !== null) {
    return from.unit === to.unit ? `${from.text.trim()}–${shown(to)}` : `${shown(from)} to ${shown(to)}`;
  }
  if (from !== null) return `at least ${shown(from)}`;
  if (to === null) return '';
  return `${limit.kind === 'temperature' ? 'not above' : 'at most'} ${shown(to)}`;
}

export const limitNames: Readonly<Record<StepLimit['kind'], string>> = {
  temperature: 'temperature',
  duration: 'duration',
  'addition-rate': 'addition rate',
};
