import { describe, expect, it } from 'vitest';
import { budgetOf } from '../../../core/workings/budget.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import { computeYields } from '../../../core/reaction/yields.ts';
import type { Yields } from '../../../core/reaction/yields.ts';
import type { Cell } from '../../../core/reaction/table-types.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { codesOf, entered, measure, neat, row, solid, tableOf, valueOf } from './make-table.ts';

const aspirin = (acid: string | null, assay = '100 %', instrument: string | null = null) =>
  tableOf(
    'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
    row('salicylic acid', 'C7H6O3', 'reactant', solid(assay), acid, { instrument }),
    row('acetic anhydride', 'C4H6O3', 'reactant', neat('1.082'), acid === null ? null : '5.0 mL'),
    row('acetylsalicylic acid', 'C9H8O4', 'product', solid(), null),
  );

const yields = (
  table: ReturnType<typeof aspirin>,
  crude: string | null,
  pure: string | null,
  instrument: string | null = null,
): Yields => {
  const weigh = (typed: string | null) => ({ mass: typed === null ? null : entered(typed), instrument });
  return computeYields(table, { crude: weigh(crude), pure: weigh(pure) });
};

const uOf = (cell: Cell): number | null =>
  cell.state === 'known' ? cell.quantity.standardUncertainty : null;

describe('computeYields', () => {
  it('2.104 g from 2.000 g of 99.0 ± 0.5 %, weighed by difference to ± 0.001 g: 81.47 %, u 0.24, the assay 96 % of it', () => {
    // Computed by hand along JCGM 100:2008, 4.3.7 and 5.1.6. "99" says ± 0.5; the balance is read twice.
    const { pure } = yields(aspirin('2.000 g', '99 %', 'balance-0.001'), null, '2.104 g', 'balance-0.001');
    expect(valueOf(pure)).toBeCloseTo(81.47, 1);
    expect(uOf(pure)).toBeCloseTo(0.24, 2);
    const [largest] = pure.state === 'known' && pure.working !== null ? budgetOf(pure.working) : [];
    expect(largest?.source).toContain('assay');
    expect(largest?.share).toBeCloseTo(0.96, 1);
  });
  it('keeps crude yield, pure yield and recovery apart', () => {
    const found = yields(aspirin('2.00 g'), '2.31 g', '2.10 g');
    expect(valueOf(found.crude)).toBeCloseTo(88.55, 1);
    expect(valueOf(found.pure)).toBeCloseTo(80.5, 1);
    expect(valueOf(found.recovery)).toBeCloseTo(90.9, 1);
  });
  it('is refused for a marked row that has another role than a product', () => {
    const rows = [
      row('salicylic acid', 'C7H6O3', 'reactant', solid(), '2.00 g'),
      row('acetic anhydride', 'C4H6O3', 'reactant', neat('1.082'), '5.0 mL'),
    ];
    const equation = 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2';
    const marked = rows[0]?.id ?? '';
    expect(codesOf(computeTable({ equation, rows, productRowId: marked }).taken.theoreticalYield)).toEqual([
      'product-missing',
    ]);
  });
  it('rests on what was taken and is blocked, with the reason, when nothing was', () => {
    const planOnly = { planned: measure('2.00 g') };
    const table = tableOf(
      'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
      row('salicylic acid', 'C7H6O3', 'reactant', solid(), null, planOnly),
      row('acetic anhydride', 'C4H6O3', 'reactant', solid(), null, planOnly),
      row('acetylsalicylic acid', 'C9H8O4', 'product', solid(), null),
    );
    expect(valueOf(table.planned.theoreticalYield)).toBeCloseTo(2.609, 3);
    const found = yields(table, '2.31 g', '2.10 g');
    expect(codesOf(found.pure)).toEqual(['nothing-taken']);
    expect(codesOf(found.crude)).toEqual(['nothing-taken']);
    // The recovery needs no plan.
    expect(valueOf(found.recovery)).toBeCloseTo(90.9, 1);
  });
  it('prints no uncertainty where no instrument was named', () => {
    expect(uOf(yields(aspirin('2.00 g'), null, '2.10 g').pure)).toBeNull();
  });
  it('is not there without a weighing, and blocked by a weighing that cannot be read', () => {
    expect(yields(aspirin('2.00 g'), null, null).pure.state).toBe('none');
    const wrong = yields(aspirin('2.00 g'), null, '2,10 g');
    expect(codesOf(wrong.pure)).toEqual(['number-comma']);
    expect(wrong.problems).toMatchObject([{ code: 'number-comma', where: 'result.pure.mass' }]);
  });
  it('a mass of zero is 0 %, not an error', () => {
    expect(valueOf(yields(aspirin('2.00 g'), null, '0.00 g').pure)).toBe(0);
  });

  describe('over 100 %', () => {
    it('is kept, questioned by how many u, with the mass of solvent that would explain it', () => {
      const table = aspirin('2.000 g', '99 %', 'balance-0.001');
      const found = yields(table, null, '2.662 g', 'balance-0.001');
      expect(valueOf(found.pure)).toBeCloseTo(103.1, 1);
      const [excess] = found.excesses;
      expect(excess).toMatchObject({
        code: 'yield-over-100',
        where: 'result.pure.mass',
        facts: { kind: 'pure' },
      });
      const u = uOf(found.pure) ?? NaN;
      expect(Number(excess?.facts['times'])).toBeCloseTo((valueOf(found.pure) - 100) / u, 0);
      // 2.662 g less the theoretical 2.583 g.
      expect(Number(excess?.facts['solventG'])).toBeCloseTo(0.08, 2);
      const sentence = problemSentence(excess ?? { code: '', facts: {} });
      expect(sentence).toContain('standard uncertainties above 100');
      expect(sentence).not.toMatch(/excellent|good/i);
    });
    it('the mass that would explain it is what was obtained less the theoretical yield', () => {
      // 2.000 g × 0.99 / 138.122 × 180.159 = 2.583 g, so 1.000 g of 3.583 g.
      const found = yields(aspirin('2.000 g', '99 %'), null, '3.583 g');
      expect(Number(found.excesses[0]?.facts['solventG'])).toBeCloseTo(1, 2);
    });
    it('within two u it is called so', () => {
      const found = yields(aspirin('2.0 g'), null, '2.62 g');
      expect(valueOf(found.pure)).toBeGreaterThan(100);
      expect(found.excesses[0]?.facts['isWithin']).toBe('yes');
    });
    it('more pure than crude product is questioned too', () => {
      const found = yields(aspirin('2.00 g'), '1.90 g', '2.10 g');
      expect(found.excesses.map((one) => one.facts['kind'])).toEqual(['recovery']);
    });
  });

  it('gives the other yield where the limiting reagent is not certain', () => {
    const table = tableOf(
      'C6H7N + C4H6O3 -> C8H9NO + C2H4O2',
      row('aniline', 'C6H7N', 'reactant', neat('1.0217'), '10.0 mL', { instrument: 'cylinder-astm-10-b' }),
      row('acetic anhydride', 'C4H6O3', 'reactant', neat('1.082'), '10.0 mL', {
        instrument: 'cylinder-astm-10-b',
      }),
      row('acetanilide', 'C8H9NO', 'product', solid(), null),
    );
    const found = yields(table, null, '10.00 g');
    expect(valueOf(found.pure)).toBeCloseTo(69.8, 1);
    expect(valueOf(found.pureIfOther)).toBeCloseTo(67.4, 1);
  });
});
