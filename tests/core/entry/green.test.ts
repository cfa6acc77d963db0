import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { emptyContent } from '../../../core/entry/empty-content.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { contentFromTemplate } from '../../../core/templates/content-from-template.ts';
import { templates } from '../../../core/templates/index.ts';

let last = 0;
const newId = () => `new-${(last += 1)}`;

/** A template carried out exactly as planned. */
function carriedOut(id: string): EntryContent {
  const template = templates.find((one) => one.id === id);
  if (template === undefined) throw new Error(`no template ${id}`);
  const content = contentFromTemplate(template, { date: '2026-03-03', newId });
  return { ...content, rows: content.rows.map((row) => ({ ...row, taken: row.planned })) };
}

describe('green metrics of an entry', () => {
  it('blocks what needs a product mass while none is weighed, and still gives the atom economy', () => {
    const { green } = computeEntry(carriedOut('acetylsalicylic-acid'));
    // 180.158 / (138.122 + 102.089): computed; published pages print 75 %.
    expect(green.atomEconomy).toMatchObject({ state: 'known', working: { id: 'atom-economy' } });
    if (green.atomEconomy.state === 'known') expect(green.atomEconomy.quantity.value).toBeCloseTo(75.0, 1);
    expect(green.eFactor).toMatchObject({
      state: 'blocked',
      problems: expect.arrayContaining([expect.objectContaining({ code: 'product-not-weighed' })]),
    });
  });

  it('rests on the crude product and says so until a pure one is weighed', () => {
    const content = carriedOut('acetylsalicylic-acid');
    const weighed = (crude: string, pure: string | null): EntryContent => ({
      ...content,
      result: {
        ...content.result,
        crude: { mass: { text: crude, unit: 'g' }, instrument: null },
        pure: { mass: pure === null ? null : { text: pure, unit: 'g' }, instrument: null },
      },
    });
    const crude = computeEntry(weighed('2.20', null)).green.reactionMassEfficiency;
    const pure = computeEntry(weighed('2.20', '1.95')).green.reactionMassEfficiency;
    expect(crude.state === 'known' && crude.working?.notes.some((note) => note.includes('crude'))).toBe(true);
    expect(pure.state === 'known' && pure.working?.notes.some((note) => note.includes('crude'))).toBe(false);
    if (crude.state !== 'known' || pure.state !== 'known') throw new Error('both are known');
    expect(crude.quantity.value / pure.quantity.value).toBeCloseTo(2.2 / 1.95, 12);
  });

  it.each(templates.map(({ id }) => [id]))(
    '%s: every metric’s working is among the workings, and each term that is a working is too',
    (id) => {
      const content = carriedOut(id);
      const { workings, green } = computeEntry({
        ...content,
        result: { ...content.result, pure: { mass: { text: '0.500', unit: 'g' }, instrument: null } },
      });
      const ids = new Set(workings.map((working) => working.id));
      expect(ids.size).toBe(workings.length);
      expect(green.workings.length).toBeGreaterThan(0);
      for (const working of green.workings) {
        expect(ids).toContain(working.id);
        for (const { source } of working.terms)
          if (source.kind === 'working') expect(ids).toContain(source.id);
      }
      // Process mass intensity is E-factor plus one: the product leaves the same masses.
      if (green.eFactor.state === 'known' && green.processMassIntensity.state === 'known') {
        expect(green.processMassIntensity.quantity.value).toBeCloseTo(green.eFactor.quantity.value + 1, 9);
      }
    },
  );

  it('an empty entry has no metrics and does not throw', () => {
    const { green } = computeEntry(emptyContent({ date: '2026-03-03' }));
    expect(green.workings).toEqual([]);
    expect(green.waste).toEqual([]);
    expect(green.atomEconomy.state).toBe('none');
  });
});
