import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { emptyContent } from '../../../core/entry/empty-content.ts';
import type { EntryComputation } from '../../../core/entry/compute-entry.ts';
import { templates } from '../../../core/templates/index.ts';
import { contentFromTemplate } from '../../../core/templates/content-from-template.ts';
import { fillStepText } from '../../../core/procedure/fill-step-text.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { expectFinite } from '../reaction/numbers-in.ts';
import { entered, valueOf } from '../reaction/make-table.ts';
import { acetylation, mark } from './make-entry.ts';

const plain = (text: string): string => text.replaceAll('\u2009', ' ');
const codes = (computed: EntryComputation) => computed.doubts.map((one) => one.code);
const deviations = (computed: EntryComputation) => computed.deviations.map((one) => plain(one.sentence));

describe('emptyContent', () => {
  it('computes to nothing, with nothing to complain about but what is blank', () => {
    const computed = computeEntry(emptyContent({ date: '2026-03-02' }));
    expect(computed.doubts).toEqual([]);
    expect(computed.deviations).toEqual([]);
    expect(computed.workings).toEqual([]);
    expect(computed.yields.theoretical.state).toBe('none');
    expect(computed.blanks.map((one) => one.where)).toEqual([
      'aim',
      'principle',
      'requirements',
      'hazards',
      'reagents',
      'procedure',
      'observations',
      'result',
      'discussion',
    ]);
  });
});

describe('computeEntry', () => {
  const content = acetylation();
  const computed = computeEntry(content);

  it('rests the yields on what was taken', () => {
    // 2.05 g × 0.99 / 138.122 × 180.159, by hand.
    expect(valueOf(computed.yields.theoretical)).toBeCloseTo(2.647, 3);
    expect(valueOf(computed.yields.pure)).toBeCloseTo(79.7, 1);
    expect(valueOf(computed.yields.crude)).toBeCloseTo(93.7, 1);
    expect(valueOf(computed.yields.recovery)).toBeCloseTo(85.1, 1);
  });

  it('lists the deviations, largest first, each at its place', () => {
    expect(deviations(computed)).toEqual([
      'acetic anhydride: 12 % more than planned',
      'step 1: 6 °C too warm',
      'step 1: 4 min longer',
      'salicylic acid: 2.5 % more than planned',
    ]);
    expect(computed.deviations.map((one) => [one.section, one.anchor])).toEqual([
      ['reagents', 'acetic-anhydride'],
      ['procedure', 'heat'],
      ['procedure', 'heat'],
      ['reagents', 'salicylic-acid'],
    ]);
    const sizes = computed.deviations.map((one) => one.size);
    expect(sizes).toEqual(sizes.toSorted((a, b) => b - a));
  });

  it('doubts a limit exceeded without a word, and no longer with one', () => {
    expect(codes(computed)).toEqual(['deviation-unexplained']);
    const [record] = content.stepRecords;
    const explained = { ...content, stepRecords: [{ ...record!, deviation: 'the bath ran away' }] };
    expect(codes(computeEntry(explained))).toEqual([]);
  });

  it('a difference that measuring explains is no deviation', () => {
    const rows = content.rows.map((one) =>
      one.id === 'acetic-anhydride' ? { ...one, taken: { ...one.taken!, entered: entered('5.1 mL') } } : one,
    );
    expect(deviations(computeEntry({ ...content, rows })).join()).not.toContain('anhydride');
  });

  it('says how the melting range stands to the published one', () => {
    expect(computed.melting?.sentences.map(plain)).toEqual([
      'It melts over 2 °C, which is usual for a good product.',
      expect.stringMatching(/^The range meets the published 135 to 136 °C \(CRC Handbook, 95th ed\.\)/),
    ]);
    const low = { ...content.result, meltingRange: { from: entered('126 °C'), to: entered('131 °C') } };
    const worse = computeEntry({ ...content, result: low });
    expect(deviations(worse).join()).toContain('4 °C below');
  });

  it.each([
    ['melting-range-reversed', { meltingRange: { from: entered('136 °C'), to: entered('134 °C') } }],
    ['yield-over-100', { pure: { mass: entered('2.80 g'), instrument: null } }],
    ['number-comma', { pure: { mass: entered('2,11 g'), instrument: null } }],
    ['instrument-unknown', { pure: { mass: entered('2.11 g'), instrument: 'kitchen scales' } }],
  ])('doubts %s', (code, change) => {
    expect(codes(computeEntry({ ...content, result: { ...content.result, ...change } }))).toContain(code);
  });

  it('blocks the yields, with the reason, when nothing taken is noted', () => {
    const rows = content.rows.map((one) => ({ ...one, taken: null }));
    const open = computeEntry({ ...content, rows });
    expect(open.yields.pure.state).toBe('blocked');
    expect(codes(open)).toContain('nothing-taken');
    expect(valueOf(open.table.planned.theoreticalYield)).toBeGreaterThan(2);
  });

  it('questions a yield far from the expected one', () => {
    const result = { ...content.result, pure: { mass: entered('1.00 g'), instrument: null } };
    expect(deviations(computeEntry({ ...content, result })).join()).toMatch(
      /pure yield 37\.8 %, 42 percentage points below the 80 % expected/,
    );
  });

  it('tells times that cannot be', () => {
    const [record] = content.stepRecords;
    const stepRecords = [{ ...record!, started: mark('10:00:00') }];
    expect(codes(computeEntry({ ...content, stepRecords }))).toContain('done-before-started');
  });

  it('offers no choice between one yield and itself in the exact ratio, however it was typed', () => {
    const amounts: Record<string, string> = {
      'salicylic-acid': '14500 µmol',
      'acetic-anhydride': '0.0145 mol',
    };
    const rows = content.rows.map((one) => {
      const typed = amounts[one.id];
      return typed === undefined
        ? one
        : { ...one, taken: { by: 'amount' as const, entered: entered(typed), instrument: null } };
    });
    const pure = rows.map((one) =>
      one.id in amounts ? { ...one, supply: { kind: 'solid' as const, assay: entered('100 %') } } : one,
    );
    const doubt = computeEntry({ ...content, rows: pure }).doubts.find(
      ({ code }) => code === 'limiting-uncertain',
    );
    expect(doubt === undefined ? '' : problemSentence(doubt)).toMatch(
      /yield is [\d.\s\u2009]+g either way\.$/,
    );
  });

  it('says so where the limiting reagent is not certain, and where a reagent falls short', () => {
    const rows = content.rows.map((one) =>
      one.id === 'acetic-anhydride' ? { ...one, taken: { ...one.taken!, entered: entered('1.4 mL') } } : one,
    );
    const computedClose = computeEntry({ ...content, rows });
    expect(codes(computedClose)).toContain('limiting-uncertain');
    expect(computedClose.limitingText.taken).toContain('not for certain');
    const short = rows.map((one) =>
      one.id === 'acetic-anhydride' ? { ...one, role: 'reagent' as const } : one,
    );
    const taken = short.map((one) =>
      one.id === 'acetic-anhydride' ? { ...one, taken: { ...one.taken!, entered: entered('1.0 mL') } } : one,
    );
    expect(codes(computeEntry({ ...content, rows: taken }))).toContain('reagent-short');
  });

  it('keeps every working once, and writes out those the yields rest on before them', () => {
    const ids = computed.workings.map((one) => one.id);
    expect(new Set(ids).size).toBe(ids.length);
    const order = computed.calculation.map((one) => one.id);
    const before = (first: string, second: string) =>
      expect(order.indexOf(first)).toBeLessThan(order.indexOf(second));
    before('molar-mass:C7H6O3', 'amount:salicylic-acid:taken');
    before('amount:salicylic-acid:taken', 'limiting:taken');
    before('limiting:taken', 'theoretical-yield:taken');
    before('theoretical-yield:taken', 'pure-yield');
    before('pure-yield', 'recovery');
    expect(order.every((id) => ids.includes(id))).toBe(true);
  });

  it('works worksheets out, and keeps one it does not know', () => {
    const worksheets = [
      { id: 'w1', calculation: 'none-such', inputs: {}, remark: '' },
      { id: 'w2', calculation: 'dilution', inputs: {}, remark: '' },
    ];
    const computedSheets = computeEntry({ ...content, worksheets });
    expect(computedSheets.worksheets[0]).toMatchObject({ calculation: null, outcome: null });
    expect(computedSheets.worksheets[1]?.calculation).not.toBeNull();
    expect(codes(computedSheets)).toContain('worksheet-unknown');
  });

  it('the same content gives the same computation', () => {
    expect(computeEntry(acetylation())).toEqual(computed);
  });

  it('takes emoji, right-to-left text and 100 kB in a note', () => {
    const odd: EntryContent = {
      ...content,
      title: '🧪 مرحبا',
      aim: 'x'.repeat(100_000),
      rows: content.rows.map((one) => ({ ...one, name: '🧪 <b>مرحبا</b> _{x}' })),
    };
    expectFinite(computeEntry(odd));
  });

  it('no typed text whatever gives a number that is not finite, or a throw', () => {
    const typed = fc.oneof(
      fc.string({ maxLength: 10 }),
      fc.constantFrom('', '-1', '0', '1e99', 'NaN', '1e-99', '99'),
    );
    fc.assert(
      fc.property(fc.array(typed, { minLength: 14, maxLength: 14 }), (texts) => {
        let at = 0;
        // Every typed text of the entry is replaced, wherever it stands.
        const scramble = (value: unknown): unknown => {
          if (Array.isArray(value)) return value.map(scramble);
          if (typeof value !== 'object' || value === null) return value;
          if ('text' in value && 'unit' in value) return { ...value, text: texts[at++ % texts.length] };
          return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, scramble(one)]));
        };
        expectFinite(computeEntry(scramble(content) as EntryContent));
      }),
      { numRuns: 300 },
    );
  });
});

describe.each(templates.map((one) => [one.id, one] as const))('the template %s', (_, template) => {
  let next = 0;
  const content = contentFromTemplate(template, { date: '2026-03-02', newId: () => `id-${(next += 1)}` });
  const computed = computeEntry(content);
  it('is worked out in full: a certain limiting reagent, a theoretical yield, no doubt', () => {
    expect(computed.doubts.map(problemSentence)).toEqual([]);
    expect(computed.table.planned.limiting).toMatchObject({ state: 'found', isCertain: true });
    expect(valueOf(computed.table.planned.theoreticalYield)).toBeGreaterThan(0.5);
  });
  it('fills every step from its table', () => {
    for (const step of content.steps) {
      expect(fillStepText(step.text, computed.table, content.rows, 'planned')).not.toMatch(/[[{]/);
    }
  });
  it('plans its time', () => {
    expect(computed.session.untimedStepIds).toEqual([]);
    expect(computed.session.totalMinutes).toBeGreaterThan(0);
  });
});
