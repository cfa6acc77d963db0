import type { EntryContent } from '../record/content.ts';
import type { Template } from './template.ts';

/**
 * A fresh entry from a template. Rows, steps and worksheets get ids of their own, so that two entries
 * from one template never share one; the slots in the step texts and the hazards follow.
 *
 * @param date day of the practical, local calendar date `YYYY-MM-DD`
 * @param newId gives a new id at every call; letters, digits and `_ . : -` only
 */
export function contentFromTemplate(
  { id, version, content }: Template,
  { date, newId }: { readonly date: string; readonly newId: () => string },
): EntryContent {
  const rowIds = new Map(content.rows.map((row) => [row.id, newId()]));
  const rowId = (old: string): string => rowIds.get(old) ?? old;
  const withNewSlots = (text: string): string =>
    text.replace(/\{(mass|volume|amount|name):([^{}]+)\}/gu, (_, field: string, old: string) => {
      return `{${field}:${rowId(old)}}`;
    });
  return {
    format: 'fairleaf-entry/1',
    ...content,
    template: { id, version },
    date,
    hazards: content.hazards.map((hazard) => ({
      ...hazard,
      rowId: hazard.rowId === null ? null : rowId(hazard.rowId),
    })),
    rows: content.rows.map((row) => ({ ...row, id: rowId(row.id) })),
    productRowId: content.productRowId === null ? null : rowId(content.productRowId),
    steps: content.steps.map((step) => ({ ...step, id: newId(), text: withNewSlots(step.text) })),
    stepRecords: [],
    notes: [],
    calculation: '',
    worksheets: content.worksheets.map((worksheet) => ({ ...worksheet, id: newId() })),
    result: {
      crude: { mass: null, instrument: null },
      pure: { mass: null, instrument: null },
      meltingRange: { from: null, to: null },
      boilingRange: { from: null, to: null, pressure: null },
      refractiveIndex: { value: null, temperature: null },
      appearance: '',
    },
    discussion: '',
    attachments: [],
  };
}
