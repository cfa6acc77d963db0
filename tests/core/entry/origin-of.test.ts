import { describe, expect, it } from 'vitest';
import * as v from 'valibot';
import { entryContent } from '../../../core/contract/content-schema.ts';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { rowFromEntry } from '../../../core/entry/origin-of.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { differencesBetween } from '../../../core/record/differences.ts';
import { contentFromTemplate } from '../../../core/templates/content-from-template.ts';
import { templates } from '../../../core/templates/index.ts';

let last = 0;
const newId = () => `n-${(last += 1)}`;

function carriedOut(id: string, pure: string): EntryContent {
  const template = templates.find((one) => one.id === id);
  if (template === undefined) throw new Error(`no template ${id}`);
  const content = contentFromTemplate(template, { date: '2026-03-03', newId });
  return {
    ...content,
    rows: content.rows.map((row) => ({ ...row, taken: row.planned })),
    result: { ...content.result, pure: { mass: { text: pure, unit: 'g' }, instrument: null } },
  };
}

const reference = { recordId: 'r', entryId: 'e-1', number: 1 };

/** Puts the product of `earlier` into the first row of `later`. */
function linked(later: EntryContent, earlier: EntryContent, number = 1): EntryContent {
  const [first, ...rest] = later.rows;
  if (first === undefined) throw new Error('a row');
  const row = rowFromEntry(first, { ...reference, entryId: `e-${number}`, number }, earlier);
  if (row === null) throw new Error('a product');
  return { ...later, rows: [row, ...rest] };
}

describe('rowFromEntry', () => {
  const earlier = carriedOut('acetylsalicylic-acid', '1.950');
  const product = earlier.rows.find(({ id }) => id === earlier.productRowId);

  it('fills name, formula, structure and mass, and leaves the assay open', () => {
    const [first] = earlier.rows;
    if (first === undefined) throw new Error('a row');
    const row = rowFromEntry({ ...first, planned: null }, reference, earlier);
    expect(row).toMatchObject({
      name: product?.name,
      formula: product?.formula,
      smiles: product?.smiles,
      supply: { assay: null },
      planned: { by: 'mass', entered: { text: '1.950', unit: 'g' } },
      origin: { entryId: 'e-1', entryNumber: 1, title: earlier.title, mass: { text: '1.950', unit: 'g' } },
    });
  });

  it('takes the percentage yield as that entry prints it', () => {
    const { pure } = computeEntry(earlier).yields;
    const [first] = earlier.rows;
    const row = first === undefined ? null : rowFromEntry(first, reference, earlier);
    if (pure.state !== 'known') throw new Error('known');
    const text = row?.origin?.yield?.text ?? '';
    expect(Math.abs(Number(text) - pure.quantity.value)).toBeLessThanOrEqual(
      0.5 * 10 ** -(text.split('.')[1]?.length ?? 0) + 1e-9,
    );
  });

  it('does not overwrite what is planned already', () => {
    const [first] = earlier.rows;
    if (first === undefined) throw new Error('a row');
    const planned = { by: 'mass', entered: { text: '0.500', unit: 'g' }, instrument: null } as const;
    expect(rowFromEntry({ ...first, planned }, reference, earlier)?.planned).toEqual(planned);
  });

  it('does not keep the volume of a liquid for a solid', () => {
    const [first] = earlier.rows;
    if (first === undefined) throw new Error('a row');
    const planned = { by: 'volume', entered: { text: '4.0', unit: 'mL' }, instrument: null } as const;
    expect(rowFromEntry({ ...first, planned }, reference, earlier)?.planned).toMatchObject({
      by: 'mass',
      entered: { text: '1.950' },
    });
  });

  it('is null for an entry without a product', () => {
    const [first] = earlier.rows;
    if (first === undefined) throw new Error('a row');
    expect(rowFromEntry(first, reference, { ...earlier, productRowId: null })).toBeNull();
  });

  it('carries the lines before it along, so that three linked entries multiply', () => {
    const second = linked(earlier, carriedOut('acetylsalicylic-acid', '1.500'), 1);
    const third = linked(second, second, 2);
    const lines = computeEntry(third).overallYields.map(({ stages }) => stages.map((one) => one.entryNumber));
    expect(lines).toEqual([[2, 1]]);
  });

  it('passes the content schema, and a change of origin shows among the differences', () => {
    const later = linked(earlier, carriedOut('isopentyl-acetate', '3.00'));
    expect(v.safeParse(entryContent, later).success).toBe(true);
    const said = differencesBetween(earlier, later).map((one) => `${one.label}: ${one.new}`);
    expect(said.join('\n')).toContain('made in: entry 1');
  });

  it('questions taking more than the earlier entry gave', () => {
    const later = linked(earlier, carriedOut('isopentyl-acetate', '0.010'));
    const [first, ...rest] = later.rows;
    if (first === undefined) throw new Error('a row');
    const taken = { by: 'mass', entered: { text: '0.500', unit: 'g' }, instrument: null } as const;
    const { doubts } = computeEntry({ ...later, rows: [{ ...first, taken }, ...rest] });
    expect(doubts.find(({ code }) => code === 'origin-overdrawn')?.facts).toMatchObject({
      side: 'taken',
      taken: '0.500\u2009g',
      mass: '0.010\u2009g',
    });
  });
});
