import type { EntryContent } from '../record/content.ts';

/**
 * An entry with nothing in it.
 *
 * @param date day of the practical, local calendar date `YYYY-MM-DD`
 */
export const emptyContent = ({ date }: { readonly date: string }): EntryContent => ({
  format: 'fairleaf-entry/1',
  title: '',
  template: null,
  date,
  aim: '',
  principle: '',
  equation: '',
  requirements: [],
  hazards: [],
  precautions: '',
  rows: [],
  productRowId: null,
  steps: [],
  stepRecords: [],
  notes: [],
  calculation: '',
  worksheets: [],
  expectedYield: null,
  result: {
    crude: { mass: null, instrument: null },
    pure: { mass: null, instrument: null },
    meltingRange: { from: null, to: null },
    boilingRange: { from: null, to: null, pressure: null },
    refractiveIndex: { value: null, temperature: null },
    appearance: '',
  },
  literature: { meltingRange: null, boilingPoint: null, refractiveIndex: null },
  discussion: '',
  attachments: [],
});
