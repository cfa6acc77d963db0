import { describe, expect, it } from 'vitest';
import { calculations } from '../../../core/calculations/index.ts';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { formatQuantity } from '../../../core/quantity/format.ts';
import { contentFromTemplate } from '../../../core/templates/content-from-template.ts';
import { templates } from '../../../core/templates/index.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import type { Working } from '../../../core/workings/working.ts';
import { recompute } from '../workings/outside.ts';

/** Carried out exactly as planned, with a product of whatever size: every kind of working then stands in it. */
function carriedOut(template: (typeof templates)[number]): EntryContent {
  let id = 0;
  const content = contentFromTemplate(template, { date: '2026-03-02', newId: () => `id-${++id}` });
  const weighed = (text: string) => ({ mass: { text, unit: 'g' as const }, instrument: 'balance-0.01' });
  return {
    ...content,
    rows: content.rows.map((row) => ({ ...row, taken: row.planned })),
    result: {
      ...content.result,
      crude: weighed('1.23'),
      pure: weighed('0.98'),
      meltingRange: { from: { text: '120.5', unit: '°C' }, to: { text: '121.5', unit: '°C' } },
      boilingRange: {
        from: { text: '139.0', unit: '°C' },
        to: { text: '141.0', unit: '°C' },
        pressure: { text: '100.2', unit: 'kPa' },
      },
      refractiveIndex: { value: { text: '1.3990', unit: '1' }, temperature: { text: '22.0', unit: '°C' } },
    },
    worksheets: calculations.map(({ id: calculation, example }, index) => ({
      id: `sheet-${index}`,
      calculation,
      inputs: example,
      remark: '',
    })),
  };
}

/** As printed, from the value that the other evaluator found. */
const printed = (working: Working, value: number): string =>
  formatQuantity({ ...working.result, value }).text;

describe('every number of an entry, worked out again by mathjs from the printed formula and terms', () => {
  it.each(templates.map((one) => [one.id, one] as const))('%s', (_, template) => {
    const { workings } = computeEntry(carriedOut(template));
    // The reagent table of both sides, yields, verdicts, green metrics and all calculations beside it.
    expect(workings.length).toBeGreaterThan(120);
    for (const kind of ['amount:', 'theoretical-yield:', 'e-factor', 'waste:', 'worksheet:']) {
      expect(
        workings.some(({ id }) => id.startsWith(kind)),
        kind,
      ).toBe(true);
    }
    for (const working of workings) {
      const again = recompute(working);
      expect(printed(working, again), working.id).toBe(formatQuantity(working.result).text);
      expect(Math.abs(again - working.result.value)).toBeLessThanOrEqual(
        1e-9 * Math.max(Math.abs(again), 1e-9),
      );
    }
  });
});
