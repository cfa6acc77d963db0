import { calculations } from '../../../core/calculations/index.ts';
import type { Calculation } from '../../../core/calculations/calculation.ts';
import { sections, type Section } from '../../../core/record/content.ts';

export interface CalculationGroup {
  readonly section: Section;
  readonly calculations: readonly Calculation[];
}

const words = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .split(/\s+/u)
    .filter((word) => word !== '');

/** Calculations that hold every word asked for, under the heading of the entry they belong to. */
export function groupCalculations(asked: string): readonly CalculationGroup[] {
  const wanted = words(asked);
  return sections
    .map((section) => ({
      section,
      calculations: calculations.filter((one) => {
        if (one.section !== section) return false;
        const said = `${one.title} ${one.purpose}`.toLowerCase();
        return wanted.every((word) => said.includes(word));
      }),
    }))
    .filter((group) => group.calculations.length > 0);
}
