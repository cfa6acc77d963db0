import { describe, expect, it } from 'vitest';
import {
  scaleByFactor,
  scaledText,
  scaleToAvailable,
  scaleToProductMass,
} from '../../../core/reaction/scale.ts';
import type { Scaled } from '../../../core/reaction/scale.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import type { Problem, Result } from '../../../core/result.ts';
import { entered, limitingOf, neat, row, rowOf, solid, valueOf } from './make-table.ts';

const plan = {
  equation: 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
  productRowId: 'product',
  rows: [
    row('salicylic acid', 'C7H6O3', 'reactant', solid(), '2.00 g', { instrument: 'balance-0.01' }),
    row('anhydride', 'C4H6O3', 'reactant', neat('1.082'), '5 mL', { instrument: 'cylinder-astm-10-b' }),
    row('acid', 'H3PO4', 'catalyst', solid('85 %'), '5 mol %'),
    row('water', 'H2O', 'solvent', neat(null, null), '20 mL'),
    row('salt', 'NaCl', 'work-up', solid(), '3 drops'),
    row('product', 'C9H8O4', 'product', solid(), null),
  ],
};

const must = (scaled: Result<Scaled, Problem>): Scaled => {
  if (!scaled.ok) throw new Error(scaled.error.code);
  return scaled.value;
};
const planned = (scaled: Scaled) =>
  scaled.rows.map((one) =>
    one.planned === null ? null : `${one.planned.entered.text} ${one.planned.entered.unit}`,
  );

describe('scaleByFactor', () => {
  it('scales what was typed and leaves equivalents, mole per cent and what was taken', () => {
    const scaled = must(scaleByFactor(plan.rows, 2));
    expect(planned(scaled)).toEqual(['4.00 g', '10 mL', '5 mol %', '40 mL', '6 drops', null]);
    expect(scaled.rows.map((one) => one.taken)).toEqual(plan.rows.map((one) => one.taken));
  });
  it('adds a figure only where too few would change the amount: 5 mL × 0.5 is 2.5 mL', () => {
    expect(planned(must(scaleByFactor(plan.rows, 0.5)))).toEqual([
      '1.00 g',
      '2.5 mL',
      '5 mol %',
      '10 mL',
      '2 drops',
      null,
    ]);
  });
  it('changes the unit where one would', () => {
    expect(planned(must(scaleByFactor(plan.rows, 0.01)))[0]).toBe('20.0 mg');
    expect(planned(must(scaleByFactor(plan.rows, 100)))[3]).toBe('2.0 L');
  });
  it('opens the choice of an instrument that no longer fits, and says so', () => {
    const scaled = must(scaleByFactor(plan.rows, 3));
    expect(scaled.rows[1]?.planned?.instrument).toBeNull();
    expect(scaled.rows[0]?.planned?.instrument).toBe('balance-0.01');
    expect(scaled.notes.map((one) => one.code)).toEqual(['scale-instrument-open']);
  });
  it('says when so little cannot be measured out well', () => {
    expect(must(scaleByFactor(plan.rows, 0.002)).notes.map((one) => one.code)).toContain('scale-too-small');
  });
  it.each([0, -1, NaN, Infinity, 1e5])('refuses the factor %f', (factor) => {
    expect(scaleByFactor(plan.rows, factor)).toMatchObject({
      ok: false,
      error: { code: 'scale-factor-unfit' },
    });
  });
  it('has nothing to scale where nothing is planned', () => {
    const empty = plan.rows.map((one) => ({ ...one, planned: null }));
    expect(scaleByFactor(empty, 2)).toMatchObject({ ok: false, error: { code: 'scale-nothing-planned' } });
  });
  it('one keeps every row as it is', () => expect(must(scaleByFactor(plan.rows, 1)).rows).toEqual(plan.rows));
});

describe('scaledText', () => {
  it.each([
    [4, 3, '4.00'],
    [2.5, 1, '2.5'],
    [6.66667, 3, '6.67'],
    [99.96, 3, '100'],
    [0.6667, 1, '0.67'],
    [1234, 2, '1234'],
    [0.000075, 2, '0.000075'],
  ])('%f with %d figures typed is %s', (exact, figures, text) =>
    expect(scaledText(exact, figures)).toBe(text),
  );
});

describe('scaleToProductMass', () => {
  it('enough of everything for 5.0 g of product at a usual yield of 70 %', () => {
    const scaled = must(scaleToProductMass(plan, entered('5.0 g'), entered('70 %')));
    // 5.0 g / (2.609 g × 0.70), by hand.
    expect(scaled.factor).toBeCloseTo(2.738, 3);
    const table = computeTable({ ...plan, rows: scaled.rows });
    expect(valueOf(table.planned.theoreticalYield) * 0.7).toBeCloseTo(5, 1);
    expect(scaled.working?.terms.map((term) => term.key)).toEqual(['m', 'm_theo', 'y']);
  });
  it('asks for the yield to expect', () => {
    expect(scaleToProductMass(plan, entered('5 g'), null)).toMatchObject({
      ok: false,
      error: { code: 'scale-yield-missing' },
    });
  });
  it.each(['0 %', '120 %', 'x %'])('refuses a yield of %s', (share) => {
    expect(scaleToProductMass(plan, entered('5 g'), entered(share)).ok).toBe(false);
  });
  it('passes on what blocks the theoretical yield', () => {
    const open = { ...plan, equation: '' };
    expect(scaleToProductMass(open, entered('5 g'), entered('70 %'))).toMatchObject({
      ok: false,
      error: { code: 'equation-missing' },
    });
  });
});

describe('scaleToAvailable', () => {
  it('uses exactly what is left in the bottle', () => {
    const scaled = must(scaleToAvailable(plan, 'anhydride', entered('3.7 mL')));
    expect(scaled.rows[1]?.planned?.entered).toEqual({ text: '3.7', unit: 'mL' });
    expect(scaled.factor).toBeCloseTo(0.74, 9);
    expect(planned(scaled)[0]).toBe('1.48 g');
  });
  it('reckons through the density where a mass is left of what is measured by volume', () => {
    const scaled = must(scaleToAvailable(plan, 'anhydride', entered('10.82 g')));
    expect(scaled.factor).toBeCloseTo(2, 9);
    expect(planned(scaled)[1]).toBe('10 mL');
  });
  it('keeps the limiting reagent', () => {
    const scaled = must(scaleToAvailable(plan, 'salicylic-acid', entered('1.234 g')));
    expect(limitingOf(computeTable({ ...plan, rows: scaled.rows }), 'planned').rowId).toBe('salicylic-acid');
  });
  it('names what it does not know', () => {
    expect(scaleToAvailable(plan, 'water', entered('5 g'))).toMatchObject({
      ok: false,
      error: { code: 'scale-row-unmeasured' },
    });
    expect(scaleToAvailable(plan, 'nobody', entered('5 g')).ok).toBe(false);
    expect(scaleToAvailable(plan, 'water', entered('0 mL')).ok).toBe(false);
  });
});

it('rows given in equivalents scale by themselves', () => {
  const rows = [
    row('salicylic acid', 'C7H6O3', 'reactant', solid(), '2.00 g'),
    row('anhydride', 'C4H6O3', 'reactant', neat('1.082'), '2.5 eq'),
    row('product', 'C9H8O4', 'product', solid(), null),
  ];
  const before = computeTable({ ...plan, rows });
  const after = computeTable({ ...plan, rows: must(scaleByFactor(rows, 3)).rows });
  const volume = (table: typeof before) => valueOf(rowOf(table, 'anhydride').planned.volume);
  expect(volume(after)).toBeCloseTo(3 * volume(before), 9);
});
