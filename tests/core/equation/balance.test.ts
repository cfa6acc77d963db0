import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { balance } from '../../../core/equation/balance.ts';
import type { Equation } from '../../../core/equation/equation.ts';
import { parseEquation } from '../../../core/equation/parse-equation.ts';

const read = (text: string): Equation => {
  const result = parseEquation(text);
  if (!result.ok) throw new Error(`${text}: ${result.error.code} at ${result.error.position ?? -1}`);
  return result.value;
};
const solve = (text: string) => balance(read(text));

/** What is left over of every element, isotope and the charge, in exact tenths (hydrate numbers have one decimal here). */
function leftOver(equation: Equation, coefficients: readonly number[]): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const [index, { formula, side }] of equation.species.entries()) {
    const times = (coefficients[index] ?? 0) * (side === 'left' ? 10 : -10);
    for (const { element, massNumber, count } of formula.elements) {
      const key = `${massNumber ?? ''}${element}`;
      sums[key] = (sums[key] ?? 0) + Math.round(times * count);
    }
    sums['charge'] = (sums['charge'] ?? 0) + times * formula.charge;
  }
  return Object.fromEntries(Object.entries(sums).filter(([, value]) => value !== 0));
}

const openStax = 'OpenStax Chemistry 2e';
const computed = 'computed outside this program';

describe('balance: one solution', () => {
  it.each([
    ['PCl5 + H2O → POCl3 + HCl', [1, 1, 1, 2], `${openStax}, 4.1`],
    ['Cu + HNO3 → Cu(NO3)2 + H2O + NO', [3, 8, 3, 4, 2], `${openStax}, 4.1`],
    ['(NH4)2Cr2O7 → Cr2O3 + N2 + H2O', [1, 1, 1, 4], `${openStax}, 4.1`],
    ['C4H10 + O2 → CO2 + H2O', [2, 13, 8, 10], `${openStax}, 4.1`],
    ['Cu + H^+ + HNO3 → Cu^2+ + NO + H2O', [3, 6, 2, 3, 2, 4], `${openStax}, Example 17.1`],
    ['Cr(OH)3 + MnO4^- + OH^- → CrO4^2- + MnO2 + H2O', [1, 1, 1, 1, 1, 2], `${openStax}, Example 17.2`],
    ['MnO4^- + H2C2O4 + H^+ → CO2 + Mn^2+ + H2O', [2, 5, 6, 10, 2, 8], `${openStax}, 4.5`],
    ['C6H12O + HNO3 → C6H10O4 + NO + H2O', [3, 8, 3, 8, 7], computed],
    ['C7H8 + MnO4^- → C7H5O2^- + MnO2 + OH^- + H2O', [1, 2, 1, 2, 1, 1], computed],
    [
      'FeC2O4·2H2O + H2O2 + H2C2O4·2H2O + K2C2O4·H2O → K3[Fe(C2O4)3]·3H2O + H2O',
      [2, 1, 1, 3, 2, 5],
      computed,
    ],
    ['C6H6O2 + Ag2O → C6H4O2 + Ag + H2O', [1, 1, 1, 2, 1], computed],
    ['Fe^3+ + I^- → Fe^2+ + I2', [2, 2, 2, 1], computed],
    // A widely set puzzle; common practice, no source.
    [
      'K4Fe(CN)6 + KMnO4 + H2SO4 → KHSO4 + Fe2(SO4)3 + MnSO4 + HNO3 + CO2 + H2O',
      [10, 122, 299, 162, 5, 122, 60, 60, 188],
      'common practice, no source',
    ],
    ['CdCl2·2.5H2O → CdCl2 + H2O', [2, 2, 5], computed],
    ['C6H5NO2 + Fe + HCl → C6H5NH2 + FeCl2 + H2O', [1, 3, 6, 1, 3, 2], computed],
    ['[13C]H4 + O2 → [13C]O2 + H2O', [1, 2, 1, 2], computed],
    ['H2 + D2 → HD', [1, 1, 2], computed],
  ])('%s: %j (%s)', (text, coefficients) => {
    const found = solve(text);
    expect(found.kind).toBe('unique');
    expect(found.coefficients).toEqual(coefficients);
    expect(leftOver(read(text), found.coefficients)).toEqual({});
    expect(found.imbalance.length).toBeGreaterThan(0);
  });
});

describe('balance: already balanced', () => {
  it.each([
    'C14H10O2 + KOH → C14H11KO3',
    'C8H8O2 + HNO3 → C8H7NO4 + H2O',
    '2 H2 + O2 → 2 H2O',
    '4 H2 + 2 O2 → 4 H2O',
  ])('%s is kept as typed', (text) => {
    const equation = read(text);
    const found = balance(equation);
    expect(found.kind).toBe('as-typed');
    expect(found.coefficients).toEqual(equation.species.map((one) => one.typed?.numerator ?? 1));
    expect(found.imbalance).toEqual([]);
  });

  it('turns typed fractions into whole numbers of the same ratio', () => {
    expect(solve('H2 + 1/2 O2 → H2O')).toMatchObject({ kind: 'as-typed', coefficients: [2, 1, 2] });
    expect(solve('C4H10 + 6.5 O2 → 4 CO2 + 5 H2O')).toMatchObject({
      kind: 'as-typed',
      coefficients: [2, 13, 8, 10],
    });
  });

  it('keeps acetylation as typed though its null space has two dimensions, and says so', () => {
    const found = solve('C7H6O3 + C4H6O3 → C9H8O4 + C2H4O2');
    expect(found).toMatchObject({ kind: 'as-typed', coefficients: [1, 1, 1, 1], independentSolutions: 2 });
    expect(found.explanation.map((one) => one.code)).toContain('other-solutions');
  });

  it('does not keep coefficients that are typed and do not balance', () => {
    expect(solve('2 C4H10 + O2 → CO2 + H2O')).toMatchObject({ kind: 'unique', coefficients: [2, 13, 8, 10] });
  });
});

describe('balance: several solutions', () => {
  it('finds the smallest by largest coefficient, then by sum (acetylation mistyped)', () => {
    const found = solve('2 C7H6O3 + C4H6O3 → C9H8O4 + C2H4O2');
    expect(found).toMatchObject({ kind: 'not-unique', coefficients: [1, 1, 1, 1], independentSolutions: 2 });
  });

  it.each([
    'KMnO4 + H2O2 + H2SO4 → MnSO4 + K2SO4 + O2 + H2O',
    'C6H12O + HNO3 → C6H10O4 + NO + NO2 + H2O',
    'H2O → H2 + O2 + H2O2',
  ])('%s has two, and the one given is the smallest there is', (text) => {
    const equation = read(text);
    const found = balance(equation);
    expect(found.kind).toBe('not-unique');
    expect(found.independentSolutions).toBe(2);
    expect(leftOver(equation, found.coefficients)).toEqual({});
    expect(found.coefficients).toEqual(smallestByForce(equation));
  });

  it('keeps the one the chemistry asks for when it is typed', () => {
    const found = solve('2 KMnO4 + 5 H2O2 + 3 H2SO4 → 2 MnSO4 + K2SO4 + 5 O2 + 8 H2O');
    expect(found).toMatchObject({ kind: 'as-typed', coefficients: [2, 5, 3, 2, 1, 5, 8] });
  });
});

/** Every combination up to a limit, the plainest search there is. */
function smallestByForce(equation: Equation): number[] | null {
  const width = equation.species.length;
  for (let most = 1; most <= 6; most += 1) {
    let best: number[] | null = null;
    let bestSum = Infinity;
    const values = Array.from({ length: width }, () => 1);
    for (;;) {
      const sum = values.reduce((all, value) => all + value, 0);
      if (values.includes(most) && sum < bestSum && Object.keys(leftOver(equation, values)).length === 0) {
        best = [...values];
        bestSum = sum;
      }
      let at = 0;
      while (at < width && values[at] === most) {
        values[at] = 1;
        at += 1;
      }
      if (at === width) break;
      values[at] = (values[at] ?? 0) + 1;
    }
    if (best !== null) return best;
  }
  return null;
}

describe('balance: no solution', () => {
  it.each([
    ['CH4 + O2 → CO2', 'element-one-sided', { element: 'H', side: 'left' }],
    ['NaCl → Na + Cl2 + O2', 'element-one-sided', { element: 'O', side: 'right' }],
    ['Na → Na^+', 'charge-one-sided', {}],
    ['H2O2 → H2O', 'no-solution', {}],
    ['CH4 + O2 + NaCl → CO2 + H2O + NaCl2', 'species-takes-no-part', { species: 'NaCl' }],
  ])('%s: %s', (text, code, facts) => {
    const found = solve(text);
    expect(found.kind).toBe('impossible');
    expect(found.coefficients).toEqual([]);
    expect(found.explanation.map((one) => one.code)).toContain(code);
    const first = found.explanation.find((one) => one.code === code);
    expect(first?.facts).toMatchObject(facts);
  });

  it('says what is on the wrong side', () => {
    const found = solve('H2O2 + O2 → H2O');
    expect(found.explanation).toMatchObject([{ code: 'species-on-wrong-side', facts: { species: 'O2' } }]);
  });

  it('says by how much the equation as typed is out', () => {
    expect(solve('CH4 + O2 → CO2').imbalance).toEqual([{ what: 'H', left: 4, right: 0 }]);
    expect(solve('Fe^3+ + I^- → Fe^2+ + I2').imbalance).toEqual([{ what: 'I', left: 1, right: 2 }]);
    expect(solve('Na → Na^+').imbalance).toEqual([{ what: 'charge', left: 0, right: 1 }]);
    expect(solve('2 H2 + O2 → H2O').imbalance).toEqual([
      { what: 'H', left: 4, right: 2 },
      { what: 'O', left: 2, right: 1 },
    ]);
  });
});

describe('balance: the same formula on both sides', () => {
  it('is an isomerisation, or is remarked on', () => {
    expect(solve('C6H11NO → C6H11NO')).toMatchObject({
      kind: 'as-typed',
      coefficients: [1, 1],
      explanation: [{ code: 'same-formula-both-sides' }],
    });
  });
});

describe('balance: properties', () => {
  const elements = ['H', 'C', 'N', 'O', 'Na', 'Cl', 'S', 'K'];
  const formula = fc
    .uniqueArray(fc.tuple(fc.constantFrom(...elements), fc.integer({ min: 1, max: 6 })), {
      minLength: 1,
      maxLength: 4,
      selector: ([symbol]) => symbol,
    })
    .map((parts) => parts.map(([symbol, n]) => (n === 1 ? symbol : `${symbol}${n}`)).join(''));
  const charge = fc.constantFrom('', '', '', '^+', '^-', '^2+', '^2-');
  const species = fc.tuple(formula, charge).map(([text, z]) => text + z);

  it('conserves atoms and charge, with positive whole numbers in lowest terms', () => {
    // Few elements, so that a good part of the random equations has a solution.
    const small = fc
      .tuple(
        fc.integer({ min: 0, max: 3 }),
        fc.integer({ min: 0, max: 3 }),
        fc.integer({ min: 0, max: 2 }),
        charge,
      )
      .filter(([c, h, o]) => c + h + o > 0)
      .map(
        ([c, h, o, z]) => ['C', 'H', 'O'].map((symbol, at) => symbol.repeat([c, h, o][at] ?? 0)).join('') + z,
      );
    const side = fc.uniqueArray(small, { minLength: 1, maxLength: 4 });
    let solved = 0;
    fc.assert(
      fc.property(side, side, (left, right) => {
        const equation = read(`${left.join(' + ')} → ${right.join(' + ')}`);
        const found = balance(equation);
        if (found.kind === 'impossible') return;
        solved += 1;
        expect(leftOver(equation, found.coefficients)).toEqual({});
        expect(found.coefficients.every((n) => Number.isSafeInteger(n) && n > 0)).toBe(true);
        const gcd = (x: number, y: number): number => (y === 0 ? x : gcd(y, x % y));
        if (found.kind !== 'as-typed') expect(found.coefficients.reduce(gcd)).toBe(1);
      }),
      { numRuns: 3000 },
    );
    expect(solved).toBeGreaterThan(200);
  });

  it('solves every system that is made to have a solution', () => {
    // Species and coefficients on the left are free; one species on the right takes up all of it.
    const counted = fc.tuple(species, fc.integer({ min: 1, max: 9 }));
    fc.assert(
      fc.property(fc.array(counted, { minLength: 1, maxLength: 4 }), (left) => {
        const sums = new Map<string, number>();
        let z = 0;
        for (const [text, times] of left) {
          const [one] = read(`${text} → H2`).species;
          for (const { element, count } of one?.formula.elements ?? []) {
            sums.set(element, (sums.get(element) ?? 0) + count * times);
          }
          z += (one?.formula.charge ?? 0) * times;
        }
        const sign = z === 0 ? '' : `^${Math.abs(z)}${z > 0 ? '+' : '-'}`;
        const right = [...sums].map(([symbol, count]) => symbol + String(count)).join('') + sign;
        const equation = read(`${left.map(([text]) => text).join(' + ')} → ${right}`);
        const found = balance(equation);
        expect(found.kind).not.toBe('impossible');
        expect(leftOver(equation, found.coefficients)).toEqual({});
      }),
      { numRuns: 1000 },
    );
  });

  it('gives the same coefficients whatever the order on a side', () => {
    const forward = read('Cu + HNO3 → Cu(NO3)2 + H2O + NO');
    const turned = read('HNO3 + Cu → NO + H2O + Cu(NO3)2');
    const byName = (equation: Equation) =>
      Object.fromEntries(
        equation.species.map((one, index) => [one.text, balance(equation).coefficients[index]]),
      );
    expect(byName(turned)).toEqual(byName(forward));
  });

  it('stays quick with many species and many independent solutions', () => {
    const begun = performance.now();
    const found = solve(
      'CH4 + O2 + N2 + Cl2 → CO + CO2 + C + H2 + H2O + C2H2 + C2H4 + C2H6 + C3H8 + HCN + NO + NO2 + N2O + NH3 + HCl + CCl4 + CHCl3 + CH2Cl2 + CH3Cl',
    );
    expect(performance.now() - begun).toBeLessThan(2000);
    expect(found.kind).toBe('not-unique');
    expect(
      leftOver(
        read(
          'CH4 + O2 + N2 + Cl2 → CO + CO2 + C + H2 + H2O + C2H2 + C2H4 + C2H6 + C3H8 + HCN + NO + NO2 + N2O + NH3 + HCl + CCl4 + CHCl3 + CH2Cl2 + CH3Cl',
        ),
        found.coefficients,
      ),
    ).toEqual({});
  });

  it('balances a redox system of twelve species', () => {
    const text =
      'K4Fe(CN)6 + KMnO4 + H2SO4 + FeCl2 → KHSO4 + Fe2(SO4)3 + MnSO4 + HNO3 + CO2 + H2O + Cl2 + K2SO4';
    const equation = read(text);
    expect(equation.species).toHaveLength(12);
    const begun = performance.now();
    const found = balance(equation);
    expect(performance.now() - begun).toBeLessThan(1000);
    expect(found.kind).toBe('not-unique');
    expect(leftOver(equation, found.coefficients)).toEqual({});
  });
});
