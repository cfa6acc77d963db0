import { describe, expect, it } from 'vitest';
import type { Contribution } from '../../../core/quantity/contribution.ts';
import { excessText, findLimiting } from '../../../core/reaction/limiting-reagent.ts';
import type { Competitor } from '../../../core/reaction/limiting-reagent.ts';
import { normalProbability } from '../../../core/reaction/normal-distribution.ts';
import {
  codesOf,
  entered,
  limitingOf,
  measure,
  molar,
  neat,
  row,
  rowOf,
  solid,
  solution,
  tableOf,
  valueOf,
} from './make-table.ts';

const competitor = (id: string, mmol: number, contributions: readonly Contribution[]): Competitor => ({
  coefficient: 1,
  portions: [
    {
      row: row(id, 'C', 'reactant', solid(), null),
      unitsPerFormula: 1,
      amountTerm: (key, symbol) => ({
        key,
        symbol,
        meaning: id,
        quantity: {
          value: mmol / 1000,
          unit: 'mol',
          standardUncertainty: Math.hypot(...contributions.map((one) => one.value)),
          significantFigures: 3,
        },
        source: { kind: 'entered', where: id },
        contributions,
      }),
    },
  ],
});
const u = (source: string, mmol: number): Contribution => ({ source, label: source, value: mmol / 1000 });

const verdict = (...competitors: Competitor[]) => {
  const found = findLimiting(competitors, 'taken');
  if (!('verdict' in found)) throw new Error(found.map((one) => one.code).join());
  return found.verdict;
};

describe('normalProbability', () => {
  // Standard normal table of any statistics text; JCGM 100:2008, table G.1 for the two-sided levels.
  it.each([
    [0, 0.5],
    [1, 0.8413],
    [1.645, 0.95],
    [2, 0.9772],
    [3, 0.99865],
    [-1, 0.1587],
    [-3, 0.00135],
    [Infinity, 1],
    [-Infinity, 0],
  ])('Φ(%f) = %f', (z, expected) => expect(normalProbability(z)).toBeCloseTo(expected, 4));
  it('is one half where nothing is known', () => expect(normalProbability(NaN)).toBe(0.5));
});

describe('findLimiting', () => {
  it('extents of 20.0 and 20.4 mmol, u 0.5 each: the first with probability 0.714, not certain', () => {
    // 0.4/√(0.5² + 0.5²) = 0.566 standard deviations: JCGM 100:2008, 5.1.2, with a normal law.
    const found = verdict(competitor('a', 20, [u('a', 0.5)]), competitor('b', 20.4, [u('b', 0.5)]));
    expect(found.rowId).toBe('a');
    expect(found.runnerUp?.probability).toBeCloseTo(0.714, 3);
    expect(found.isCertain).toBe(false);
  });
  it('extents of 14.34 ± 0.05 and 51.9 ± 1.3 mmol: certain', () => {
    const found = verdict(competitor('b', 51.9, [u('b', 1.3)]), competitor('a', 14.34, [u('a', 0.05)]));
    expect(found.rowId).toBe('a');
    expect(found.runnerUp?.probability).toBeGreaterThan(0.9999);
    expect(found.isCertain).toBe(true);
  });
  it('lets a shared source cancel: the same bottle cannot be both too strong and too weak', () => {
    // JCGM 100:2008, 5.2.2: with full correlation only the difference of the two effects remains.
    const shared = verdict(
      competitor('a', 20, [u('bottle', 0.5)]),
      competitor('b', 20.4, [u('bottle', 0.51)]),
    );
    expect(shared.runnerUp?.probability).toBeGreaterThan(0.9999);
  });
  it('asks the rival that is hardest to tell apart, not only the nearest', () => {
    const found = verdict(
      competitor('a', 20, [u('a', 0.02)]),
      competitor('near', 21, [u('near', 0.02)]),
      competitor('vague', 22, [u('vague', 4)]),
    );
    expect(found.runnerUp?.rowId).toBe('vague');
    expect(found.isCertain).toBe(false);
  });
  it('names the nearest where all are certain', () => {
    const found = verdict(
      competitor('a', 20, [u('a', 0.02)]),
      competitor('near', 21, [u('near', 0.02)]),
      competitor('vague', 30, [u('vague', 1.5)]),
    );
    expect(found.runnerUp?.rowId).toBe('near');
    expect(found.isCertain).toBe(true);
  });
  it('a tie is even odds and never certain', () => {
    const found = verdict(competitor('b', 20, [u('b', 0.1)]), competitor('a', 20, [u('a', 0.1)]));
    expect(found.rowId).toBe('a');
    expect(found.runnerUp).toMatchObject({ rowId: 'b', margin: 0, probability: 0.5 });
    expect(found.isCertain).toBe(false);
  });
  it('a single reactant limits without a rival', () => {
    expect(verdict(competitor('a', 20, []))).toMatchObject({ rowId: 'a', runnerUp: null, isCertain: true });
  });
});

describe('who competes', () => {
  const equation = 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2';
  const salicylic = (typed: string | null) => row('salicylic acid', 'C7H6O3', 'reactant', solid(), typed);
  const product = row('product', 'C9H8O4', 'product', solid(), null);
  const anhydride = (typed: string | null) => row('anhydride', 'C4H6O3', 'reactant', neat('1.082'), typed);

  it('leaves solvents, catalysts, reagents, work-up and drying agents out, however little of them there is', () => {
    const others = (['solvent', 'catalyst', 'reagent', 'work-up', 'drying-agent'] as const).map((role) =>
      row(role, 'C4H6O3', role, neat('1.082'), '0.01 mL'),
    );
    expect(
      limitingOf(tableOf(equation, salicylic('2.00 g'), anhydride('5.0 mL'), product, ...others)).rowId,
    ).toBe('salicylic-acid');
  });
  it('divides by the coefficient: 12 mmol of one against 20 mmol of two', () => {
    const table = tableOf(
      '2 C7H6O + C3H6O -> C17H14O + 2 H2O',
      row('acetone', 'C3H6O', 'reactant', solid(), '12.00 mmol'),
      row('benzaldehyde', 'C7H6O', 'reactant', solid(), '20.00 mmol'),
      row('product', 'C17H14O', 'product', solid(), null),
    );
    expect(limitingOf(table).rowId).toBe('benzaldehyde');
    expect(limitingOf(table).extent.value).toBeCloseTo(10, 9);
    expect(valueOf(rowOf(table, 'acetone').taken.excess)).toBeCloseTo(20, 9);
  });
  it('a reactant given in equivalents follows the limiting reagent and does not compete', () => {
    const table = tableOf(equation, salicylic('2.000 g'), anhydride('1.50 eq'), product);
    expect(limitingOf(table)).toMatchObject({ rowId: 'salicylic-acid', runnerUp: null });
    expect(valueOf(rowOf(table, 'anhydride').taken.amount)).toBeCloseTo(21.72, 2);
    expect(valueOf(rowOf(table, 'anhydride').taken.mass)).toBeCloseTo(2.217, 3);
    expect(valueOf(rowOf(table, 'anhydride').taken.excess)).toBeCloseTo(50, 9);
  });
  it('fewer than one equivalent of a reactant contradicts itself and is refused', () => {
    const table = tableOf(equation, salicylic('2.000 g'), anhydride('0.8 eq'), product);
    expect(table.taken.limiting.state).toBe('blocked');
    expect(codesOf(table.taken.theoreticalYield)).toEqual(['equivalents-below-one']);
    expect(codesOf(rowOf(table, 'anhydride').taken.amount)).toEqual(['equivalents-below-one']);
  });
  it('equivalents of everything have nothing to rest on', () => {
    const table = tableOf(equation, salicylic('1 eq'), anhydride('1.5 eq'), product);
    expect(codesOf(table.taken.theoreticalYield)).toEqual(['equivalents-need-limiting']);
  });
  it('a catalyst in mole per cent counts per mole of the limiting reagent, whatever its coefficient', () => {
    const table = tableOf(
      '2 C7H6O + C3H6O -> C17H14O + 2 H2O',
      row('benzaldehyde', 'C7H6O', 'reactant', solid(), '20.00 mmol'),
      row('acetone', 'C3H6O', 'reactant', solid(), '12.00 mmol'),
      row('base', 'NaOH', 'catalyst', molar('1.00'), '5 mol %'),
      row('product', 'C17H14O', 'product', solid(), null),
    );
    expect(valueOf(rowOf(table, 'base').taken.amount)).toBeCloseTo(1, 9);
    expect(valueOf(rowOf(table, 'base').taken.volume)).toBeCloseTo(1, 9);
    expect(valueOf(rowOf(table, 'base').taken.equivalents)).toBeCloseTo(0.05, 9);
  });
  it('adds the portions of one reactant', () => {
    const second = { ...salicylic('1.000 g'), id: 'second-portion' };
    const table = tableOf(equation, salicylic('1.000 g'), second, anhydride('5.0 mL'), product);
    expect(limitingOf(table).extent.value).toBeCloseTo(14.48, 2);
    expect(valueOf(table.taken.theoreticalYield)).toBeCloseTo(2.609, 3);
    expect(valueOf(rowOf(table, 'salicylic acid').taken.equivalents)).toBeCloseTo(0.5, 6);
  });
  it('waits for a reactant that nothing is noted of, and says which', () => {
    const table = tableOf(equation, salicylic('2.00 g'), { ...anhydride('5.0 mL'), taken: null }, product);
    expect(limitingOf(table, 'planned').rowId).toBe('salicylic-acid');
    expect(codesOf(table.taken.theoreticalYield)).toEqual(['not-measured']);
    expect(valueOf(rowOf(table, 'salicylic acid').taken.amount)).toBeCloseTo(14.48, 2);
  });
  it('says nothing while nothing is noted', () => {
    const table = tableOf(equation, salicylic(null), anhydride(null), product);
    expect(table.taken.limiting.state).toBe('none');
    expect(table.taken.theoreticalYield.state).toBe('none');
  });
  it('finds a row by composition, however its formula is spelled', () => {
    const table = tableOf(
      'C5H12O + C2H4O2 -> C7H14O2 + H2O',
      row('alcohol', '(CH3)2CHCH2CH2OH', 'reactant', solid(), '1.00 g'),
      row('acid', 'CH3COOH', 'reactant', solid(), '1.00 g'),
      row('ester', 'CH3COOC5H11', 'product', solid(), null),
    );
    expect(table.rows.map((one) => one.coefficient)).toEqual([1, 1, 1]);
    expect(table.rows.flatMap((one) => one.problems)).toEqual([]);
  });
  it('names a reactant that is not in the equation and blocks only what rests on it', () => {
    const stranger = row('stranger', 'NaCl', 'reactant', solid(), '1.00 g');
    const table = tableOf(equation, salicylic('2.00 g'), anhydride('5.0 mL'), stranger, product);
    expect(rowOf(table, 'stranger').problems[0]).toMatchObject({
      code: 'not-in-equation',
      where: 'rows.stranger.equationFormula',
    });
    expect(codesOf(table.taken.theoreticalYield)).toEqual(['not-in-equation']);
    expect(valueOf(rowOf(table, 'anhydride').taken.amount)).toBeCloseTo(52.99, 2);
  });
  it('counts what one formula brings: half a mole of the dimer is a mole of the monomer', () => {
    const table = tableOf(
      'CH2O + CH4O -> C2H6O2',
      row('trimer', 'C3H6O3', 'reactant', solid(), '10.00 mmol', { equationFormula: 'CH2O', units: 3 }),
      row('methanol', 'CH4O', 'reactant', solid(), '40.00 mmol'),
      row('product', 'C2H6O2', 'product', solid(), null),
    );
    expect(limitingOf(table).rowId).toBe('trimer');
    expect(limitingOf(table).extent.value).toBeCloseTo(30, 9);
    expect(valueOf(rowOf(table, 'methanol').taken.equivalents)).toBeCloseTo(1.3333, 4);
  });
  it('refuses a number of units that cannot be', () => {
    for (const units of [0, -1, NaN, Infinity, 1e9]) {
      const table = tableOf(
        equation,
        row('salicylic acid', 'C7H6O3', 'reactant', solid(), '2 g', { units }),
        anhydride('5 mL'),
        product,
      );
      expect(rowOf(table, 'salicylic acid').problems.map((one) => one.code)).toContain('units-per-formula');
    }
  });
});

describe('the equation decides, and says when it cannot', () => {
  const sodium = row('sodium', 'Na', 'reactant', solid(), '1.00 g');
  const yieldCodes = (equation: string) => {
    const table = tableOf(equation, sodium, row('salt', 'NaCl', 'product', solid(), null));
    return { codes: codesOf(table.taken.theoreticalYield), problems: table.problems.map((one) => one.code) };
  };
  it('balances an equation typed without coefficients', () => {
    const table = tableOf('Na + Cl2 -> NaCl', sodium, row('salt', 'NaCl', 'product', solid(), null));
    expect(table.problems).toEqual([]);
    expect(rowOf(table, 'sodium').coefficient).toBe(2);
  });
  it('tells when the coefficients typed do not balance, by how much, and what it counts with', () => {
    const table = tableOf('Na + Cl2 -> 3 NaCl', sodium, row('salt', 'NaCl', 'product', solid(), null));
    expect(table.problems).toMatchObject([
      { code: 'equation-coefficients-differ', facts: { by: 'Na 1 left, 3 right; Cl 2 left, 3 right' } },
    ]);
    expect(table.taken.theoreticalYield.state).toBe('known');
  });
  it.each([
    ['', 'equation-missing'],
    ['Na + Cl2', 'arrow-missing'],
    ['Na + Xy -> NaCl', 'unknown-element'],
    ['Na -> NaCl', 'equation-unbalanced'],
    ['KMnO4 + H2O2 + H2SO4 -> MnSO4 + K2SO4 + O2 + H2O', 'equation-not-unique'],
  ])('%s: %s', (equation, code) => {
    const found = yieldCodes(equation);
    expect(found.problems).toContain(code);
    expect(found.codes).toContain(code);
  });
  it('keeps a balanced equation that has other solutions as well', () => {
    const table = tableOf(
      'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
      row('acid', 'C7H6O3', 'reactant', solid(), '1.00 g'),
    );
    expect(table.problems).toEqual([]);
    expect(rowOf(table, 'acid').coefficient).toBe(1);
  });
  it('a main product that does not stand on the right is named', () => {
    const table = tableOf('2 Na + Cl2 -> 2 NaCl', sodium, row('other', 'KCl', 'product', solid(), null));
    expect(codesOf(table.taken.theoreticalYield)).toEqual(['not-in-equation']);
  });
  it('without a main product there is no theoretical yield', () => {
    expect(codesOf(tableOf('2 Na + Cl2 -> 2 NaCl', sodium).taken.theoreticalYield)).toEqual([
      'product-missing',
    ]);
  });
  it('a mass typed into a product’s row is not used in silence', () => {
    const table = tableOf(
      '2 Na + Cl2 -> 2 NaCl',
      sodium,
      row('salt', 'NaCl', 'product', solid(), '2 g', { planned: null }),
    );
    expect(rowOf(table, 'salt').problems.map((one) => one.code)).toEqual(['product-is-computed']);
  });
});

describe('difference between plan and taken', () => {
  const both = (planned: string, taken: string, supply = solid()) =>
    rowOf(tableOf('', row('it', 'C5H12O', 'reagent', supply, taken, { planned: measure(planned) })), 'it')
      .difference;
  it('is on what was measured, in per cent of the plan', () => {
    expect(valueOf(both('2.00 g', '2.062 g'))).toBeCloseTo(3.1, 9);
    expect(valueOf(both('2000 mg', '1.90 g'))).toBeCloseTo(-5, 9);
  });
  it('compares through the density where the plan was by volume and the portion was weighed', () => {
    expect(valueOf(both('5.00 mL', '4.052 g', neat('0.8104')))).toBeCloseTo(0, 6);
  });
  it('is not there until both are', () => {
    const lone = row('it', 'C5H12O', 'reagent', solid(), '2 g', { planned: null });
    expect(rowOf(tableOf('', lone), 'it').difference.state).toBe('none');
  });
  it('compares drops with drops', () => {
    expect(
      valueOf(
        both('5 drops', '10 drops', solution({ kind: 'amount-concentration', entered: entered('1 mol/L') })),
      ),
    ).toBe(100);
  });
});

describe('how far the next reactant lies above', () => {
  // 2269 % above is 1 + 22.69 times what the equation needs: arithmetic, no source needed.
  it.each([
    [0.128, ', 13\u2009% above'],
    [1.9, ', 190\u2009% above'],
    [2, ', 200\u2009% above'],
    [2.4, ': 3.40 times what is needed'],
    [22.69, ': 23.7 times what is needed'],
    [1233.6, ': 1235 times what is needed'],
  ])('an excess of %f', (margin, text) => {
    expect(excessText(margin)).toBe(text);
  });
});
