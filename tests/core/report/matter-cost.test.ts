import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { rowFromEntry } from '../../../core/entry/origin-of.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import type { EntryBundle } from '../../../core/report/bundle.ts';
import { entryReport } from '../../../core/report/entry-report.ts';
import type { Block, Line } from '../../../core/report/report-document.ts';
import { firstContent, sampleBundle } from './sample-bundle.ts';

const words = (line: Line): string => line.map((run) => run.text).join('');
const draft = (content: EntryContent): EntryBundle => {
  const bundle = sampleBundle();
  return {
    ...bundle,
    entry: { ...bundle.entry, state: 'draft', mark: '' },
    shown: { n: null, content },
    versions: [],
    trail: [],
  };
};
const blocksOf = (content: EntryContent): readonly Block[] =>
  entryReport(draft(content)).parts[0]?.blocks ?? [];
/** Every word of the blocks from a heading of the third level to the next heading. */
function under(blocks: readonly Block[], title: string): string {
  const from = blocks.findIndex((block) => block.kind === 'heading' && words(block.line) === title);
  if (from < 0) return '';
  const length = blocks.slice(from + 1).findIndex((block) => block.kind === 'heading');
  return JSON.stringify(blocks.slice(from + 1, length < 0 ? undefined : from + 1 + length));
}

describe('what it cost in matter, printed', () => {
  const content = firstContent();
  const { green } = computeEntry(content);
  const printed = under(blocksOf(content), 'What it cost in matter');

  it('prints every measure that is known, with what it says, and each stream of waste', () => {
    // 180.158 / (138.122 + 102.089): 75.0 %, from the 2021 abridged atomic weights.
    expect(printed).toContain('Atom economy');
    expect(printed).toContain('75.0');
    expect(printed).toContain('of the reactants taken is in the product');
    for (const { stream, mass } of green.waste) {
      if (mass.state === 'known') expect(printed).toContain(`Waste: ${stream}`);
    }
    for (const assumption of green.assumptions)
      expect(printed.toLowerCase()).toContain(assumption.toLowerCase());
  });

  it('prints the workings of the measures among the calculations', () => {
    const all = JSON.stringify(blocksOf(content));
    expect(all).toContain('Reaction mass efficiency');
    for (const working of green.workings.filter(({ id }) => id.startsWith('waste:'))) {
      expect(all).toContain(working.title);
    }
  });

  it('is left out of an entry in which nothing was carried out', () => {
    const planned = { ...content, rows: content.rows.map((row) => ({ ...row, taken: null })) };
    expect(under(blocksOf(planned), 'What it cost in matter')).toBe('');
  });
});

describe('a linked entry, printed', () => {
  it('says where the row was made, and the overall yield over the entries', () => {
    const content = firstContent();
    const [first, ...rest] = content.rows;
    const reference = { recordId: 'r-1', entryId: 'e-2', number: 2 };
    const row = first === undefined ? null : rowFromEntry(first, reference, content);
    if (row === null) throw new Error('the sample has a product');
    // Only the origin is of interest here: the chemistry of the row stays its own.
    const linked = { ...content, rows: [{ ...first!, origin: row.origin }, ...rest] };
    const all = JSON.stringify(blocksOf(linked));
    expect(all).toContain('made in entry 2');
    expect(all).toContain('Overall yield');
    const [line] = computeEntry(linked).overallYields;
    const { pure } = computeEntry(content).yields;
    if (line?.overall.state !== 'known' || pure.state !== 'known') throw new Error('both are known');
    // The same preparation twice: the square of its yield, to the figures that the first one prints.
    const expected = pure.quantity.value ** 2 / 100;
    expect(Math.abs(line.overall.quantity.value / expected - 1)).toBeLessThan(2e-3);
    expect(all).toContain('over the linked entries');
  });
});
