import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { molarMassWorking } from '../../../core/formula/molar-mass.ts';
import type { Contribution } from '../../../core/quantity/contribution.ts';
import { rectangular, triangular } from '../../../core/quantity/uncertainty.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import { budgetOf } from '../../../core/workings/budget.ts';
import { derive } from '../../../core/workings/derive.ts';
import type { Derivation } from '../../../core/workings/derive.ts';
import { enteredTerm, exactTerm, workingTerm } from '../../../core/workings/term.ts';
import type { Working, WorkingTerm } from '../../../core/workings/working.ts';
import { recompute } from './outside.ts';

const term = (
  key: string,
  value: number,
  unit: UnitSymbol,
  figures: number | null,
  contributions: readonly Contribution[] = [],
): WorkingTerm =>
  enteredTerm(
    key,
    key,
    key,
    { value, unit, standardUncertainty: null, significantFigures: figures },
    `at.${key}`,
    contributions,
  );
const from = (source: string, value: number): Contribution => ({ source, label: source, value });

const work = (formula: string, terms: readonly WorkingTerm[], more: Partial<Derivation> = {}): Working => {
  const result = derive({
    id: 'x',
    title: 'x',
    symbol: 'x',
    formula,
    display: `x = ${formula}`,
    terms,
    unit: '1',
    citation: 'none',
    ...more,
  });
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
};

const molarMass = (formula: string): Working => {
  const result = molarMassWorking(formula);
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
};

describe('derive: uncertainty', () => {
  it('makes up a cadmium standard (Eurachem/CITAC Guide, example A1)', () => {
    const made = work('1000 * m * P / V', [
      term('m', 100.28, 'mg', 5, [from('m', 0.05)]),
      term('P', 0.9999, '1', 4, [from('P', 0.000058)]),
      term('V', 100, 'mL', 4, [from('V', 0.07)]),
    ]);
    expect(Math.abs(made.result.value - 1002.7)).toBeLessThan(0.05);
    expect(made.result.standardUncertainty).toBeCloseTo(0.86, 2);
  });

  it('takes the impedance of correlated readings (JCGM 100:2008, H.2; u(Z) from memory)', () => {
    // r(V, I) = −0.36 is laid into the shares the two readings have in a common source.
    const r = -0.36;
    const uI = 0.0095e-3;
    const impedance = work('V / I', [
      term('V', 4.999, '1', 5, [from('common', 0.0032)]),
      term('I', 0.019661, '1', 5, [from('common', r * uI), from('current', Math.sqrt(1 - r * r) * uI)]),
    ]);
    expect(impedance.result.value).toBeCloseTo(254.26, 2);
    expect(Math.abs((impedance.result.standardUncertainty ?? 0) - 0.236)).toBeLessThan(0.001);
  });

  it('weighs by difference: u = √2 × 0.001/√3 g (JCGM 100:2008, 4.3.7 and 5.1.2)', () => {
    const each = rectangular(0.001);
    const mass = work('gross - tare', [
      term('gross', 25.104, 'g', 5, [from('gross', each)]),
      term('tare', 23.0, 'g', 5, [from('tare', each)]),
    ]);
    expect(mass.result.standardUncertainty).toBeCloseTo(0.000816, 6);
  });

  it('cancels what two weighings share: the constant error of one balance leaves a difference alone', () => {
    const mass = work('gross - tare', [
      term('gross', 25.104, 'g', 5, [from('zero of the balance', 0.05), from('gross', 0.001)]),
      term('tare', 23.0, 'g', 5, [from('zero of the balance', 0.05)]),
    ]);
    expect(mass.result.standardUncertainty).toBeCloseTo(0.001, 12);
  });

  it('counts one bottle once, through other workings too', () => {
    // Two portions of one bottle: the amounts add, and so do their shares of its assay.
    const assay = [from('bottle', 0.01)];
    const portion = (id: string) =>
      work('m * w', [term('m', 2, 'g', 4, []), term('w', 0.98, '1', 3, assay)], { id });
    const open = portion('a');
    expect(open.result.standardUncertainty).toBeNull();
    const exact = (id: string) =>
      work('m * w', [exactTerm('m', 'm', 'm', 2, 'given', 'g'), term('w', 0.98, '1', 3, assay)], { id });
    const sum = work('a + b', [
      workingTerm('a', 'a', 'a', exact('a')),
      workingTerm('b', 'b', 'b', exact('b')),
    ]);
    expect(sum.result.standardUncertainty).toBeCloseTo(0.04, 12);
    expect(sum.contributions).toHaveLength(1);
  });

  it('gives 81.47 %, u = 0.24 % for a yield on an assayed acid (computed outside this program by JCGM 100:2008, 5.1.2)', () => {
    const weighing = (where: string) => [
      from(`${where}:full`, rectangular(0.001)),
      from(`${where}:empty`, rectangular(0.001)),
    ];
    const n = work(
      '1000 * m * w / 100 / M',
      [
        term('m', 2.0, 'g', 4, weighing('taken')),
        term('w', 99.0, '%', 3, [{ source: 'assay', label: 'assay', value: rectangular(0.5) }]),
        workingTerm('M', 'M', 'M', molarMass('C7H6O3')),
      ],
      { id: 'n', unit: 'mmol' },
    );
    const theory = work(
      'n * M / 1000',
      [workingTerm('n', 'n', 'n', n), workingTerm('M', 'M', 'M', molarMass('C9H8O4'))],
      {
        id: 'theory',
        unit: 'g',
      },
    );
    const percent = work(
      '100 * m / theory',
      [term('m', 2.104, 'g', 4, weighing('product')), workingTerm('theory', 'm', 'm', theory)],
      {
        unit: '%',
      },
    );
    expect(Math.abs(percent.result.value - 81.47)).toBeLessThan(0.02);
    expect(percent.result.standardUncertainty).toBeCloseTo(0.24, 2);
    const assay = budgetOf(percent).find((line) => line.source === 'assay');
    expect(Math.abs((assay?.share ?? 0) - 0.96)).toBeLessThan(0.02);
    expect(percent.result.significantFigures).toBe(4);
  });

  it('gives 51.93 mmol, u = 1.31 for acetic anhydride from a class B cylinder (computed outside by JCGM 100:2008, 5.1.2)', () => {
    const n = work(
      '1000 * V * d * w / 100 / M',
      [
        term('V', 5.0, 'mL', 2, [from('tolerance', rectangular(0.2)), from('reading', triangular(0.1))]),
        term('d', 1.082, 'g/mL', 4, [from('density', 0.002)]),
        term('w', 98, '%', 2, [from('assay', rectangular(1))]),
        workingTerm('M', 'M', 'M', molarMass('C4H6O3')),
      ],
      { unit: 'mmol' },
    );
    expect(Math.abs(n.result.value - 51.93)).toBeLessThan(0.02);
    expect(Math.abs((n.result.standardUncertainty ?? 0) - 1.31)).toBeLessThan(0.02);
  });

  it('is unknown as soon as one inexact term has none, and known for exact ones', () => {
    expect(
      work('a * b', [term('a', 2, 'g', 3), term('b', 3, '1', 3, [from('b', 0.1)])]).result
        .standardUncertainty,
    ).toBeNull();
    expect(
      work('a * b', [exactTerm('a', 'a', 'a', 2, 'given'), exactTerm('b', 'b', 'b', 3, 'given')]).result,
    ).toEqual({
      value: 6,
      unit: '1',
      standardUncertainty: 0,
      significantFigures: null,
    });
  });

  it('is unknown, not infinite, where the slope is: a root at zero', () => {
    const root = work('sqrt(a)', [term('a', 0, '1', 2, [from('a', 0.1)])]);
    expect(root.result.standardUncertainty).toBeNull();
    expect(root.result.value).toBe(0);
  });

  it('follows the smaller of two in min', () => {
    const least = work('min(a, b)', [
      term('a', 2, '1', 3, [from('a', 0.1)]),
      term('b', 3, '1', 3, [from('b', 5)]),
    ]);
    expect(least.result).toMatchObject({ value: 2, standardUncertainty: 0.1 });
  });
});

describe('derive: digits without uncertainty', () => {
  // OpenStax Chemistry 2e, 1.5, worked examples and exercises.
  it.each([
    ['a + b', 1.0023, 5, 4.383, 4, 4, 5.385],
    ['a - b', 486, 3, 421.23, 5, 2, 65],
    ['a * b', 0.6238, 4, 6.6, 2, 2, 4.1],
    ['a / b', 421.23, 5, 486, 3, 3, 0.867],
  ])('%s of %d (%i) and %d (%i) has %i figures', (formula, a, fa, b, fb, figures, shown) => {
    const made = work(formula, [term('a', a, '1', fa), term('b', b, '1', fb)]);
    expect(made.result.significantFigures).toBe(figures);
    expect(Number(made.result.value.toPrecision(figures))).toBeCloseTo(shown, 10);
  });

  it('does not let coefficients and unit factors limit the digits', () => {
    const made = work('1000 * nu * m', [
      exactTerm('nu', 'ν', 'coefficient', 3, 'equation'),
      term('m', 2.004, 'g', 4),
    ]);
    expect(made.result.significantFigures).toBe(4);
  });

  it('counts decimals through a sum inside a product', () => {
    // (25.104 − 23.00) has two decimals and so three figures.
    const made = work('(g - t) / M', [
      term('g', 25.104, 'g', 5),
      term('t', 23.0, 'g', 4),
      term('M', 180.159, 'g/mol', 6),
    ]);
    expect(made.result.significantFigures).toBe(3);
    expect(made.rounding).toBe('both-rules');
  });

  it('gives a logarithm as many decimals as its argument has figures', () => {
    // Common practice, no source: pH of 1.0 × 10⁻³ mol/L is 3.00.
    const made = work('-log10(c)', [term('c', 0.001, 'mol/L', 2)]);
    expect(made.result.significantFigures).toBe(3);
  });

  it('keeps the place through a difference that comes out zero', () => {
    expect(work('a - b', [term('a', 2.5, 'g', 3), term('b', 2.5, 'g', 3)]).result).toMatchObject({
      value: 0,
      significantFigures: 3,
    });
  });

  it('takes the figures it is told to', () => {
    const made = work('a', [term('a', 2, '1', 1)], { figures: 3 });
    expect(made.result.significantFigures).toBe(3);
    expect(made.rounding).toBe('given');
  });
});

describe('derive: no rounding on the way', () => {
  it('weighs 77.4 g of sodium chloride for 0.250 L of 5.30 mol/L (OpenStax Chemistry 2e, Example 3.17)', () => {
    // Rounding the amount to 1.32 mol first would give 77.1 g.
    const n = work('V * c', [term('V', 0.25, 'L', 3), term('c', 5.3, 'mol/L', 3)], { id: 'n', unit: 'mol' });
    const m = work('n * M', [workingTerm('n', 'n', 'n', n), workingTerm('M', 'M', 'M', molarMass('NaCl'))], {
      unit: 'g',
    });
    expect(n.result.significantFigures).toBe(3);
    expect(Math.abs(m.result.value - 77.4)).toBeLessThan(0.05);
    expect(Number(m.result.value.toPrecision(3))).toBe(77.4);
  });
});

describe('derive: faults', () => {
  it.each([
    ['a / b', 'division-by-zero'],
    ['ln(b) * a', 'outside-domain'],
    ['sqrt(b - a)', 'outside-domain'],
    ['exp(a * 1000) + b', 'result-too-large'],
  ])('%s is refused as %s', (formula, code) => {
    const result = derive({
      id: 'yield',
      title: 'Yield',
      symbol: 'y',
      formula,
      display: formula,
      terms: [term('a', 2, '1', 1), term('b', 0, '1', 1)],
      unit: '1',
      citation: 'none',
      where: 'rows.1',
    });
    expect(result).toEqual({
      ok: false,
      error: { code, where: 'rows.1', facts: { working: 'yield', title: 'Yield' } },
    });
  });

  it('throws for a term without use and a name without term, which are bugs', () => {
    expect(() => work('a', [term('a', 1, '1', 1), term('b', 1, '1', 1)])).toThrow(/formula uses/);
    expect(() => work('a + b', [term('a', 1, '1', 1)])).toThrow(/formula uses/);
    expect(() => work('a + b', [term('a', 1, '1', 1), term('c', 1, '1', 1)])).toThrow(/formula uses/);
    expect(() => work('a + b', [term('a', 1, '1', 1), term('a', 1, '1', 1)])).toThrow(/formula uses/);
  });

  it('never returns a number that is not finite, whatever is fed to it', () => {
    const formulas = [
      'a * b / c',
      '(a - b) / (a + c)',
      'sqrt(a) * ln(b)',
      'a ^ b',
      'exp(a) / c',
      'min(a, b) - max(b, c)',
    ];
    const any = fc.oneof(fc.double(), fc.constantFrom(0, -0, 1e308, -1e308, 5e-324));
    fc.assert(
      fc.property(fc.constantFrom(...formulas), any, any, any, any, (formula, a, b, c, u) => {
        const names = ['a', 'b', 'c'].filter((name) => new RegExp(`\\b${name}\\b`).test(formula));
        const values: Record<string, number> = { a, b, c };
        const result = derive({
          id: 'x',
          title: 'x',
          symbol: 'x',
          formula,
          display: formula,
          terms: names.map((name) => term(name, values[name] ?? 0, '1', 3, [from(name, u)])),
          unit: '1',
          citation: 'none',
        });
        if (!result.ok) return;
        const { result: quantity, contributions } = result.value;
        expect(Number.isFinite(quantity.value)).toBe(true);
        if (quantity.standardUncertainty !== null)
          expect(Number.isFinite(quantity.standardUncertainty)).toBe(true);
        for (const one of contributions) expect(Number.isFinite(one.value)).toBe(true);
        for (const line of budgetOf(result.value)) expect(Number.isFinite(line.share)).toBe(true);
        expect(quantity.significantFigures).toSatisfy(
          (n: number | null) => n === null || (Number.isInteger(n) && n >= 1),
        );
      }),
      { numRuns: 5000 },
    );
  });
});

describe('budgetOf', () => {
  it('adds up to one, largest first, one line per label', () => {
    const mass = molarMass('C9H8O4');
    const made = work('1000 * m / M', [
      term('m', 2, 'g', 4, [from('m', 0.001)]),
      workingTerm('M', 'M', 'M', mass),
    ]);
    const budget = budgetOf(made);
    expect(budget.map((line) => line.source)).toEqual(['m', 'standard atomic weights']);
    expect(budget.reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 12);
    expect(budget[0]?.share).toBeGreaterThan(budget[1]?.share ?? 1);
  });

  it('has no lines where the uncertainty is unknown or zero', () => {
    expect(budgetOf(work('a', [term('a', 1, '1', 2)]))).toEqual([]);
    expect(budgetOf(work('a', [exactTerm('a', 'a', 'a', 1, 'given')]))).toEqual([]);
  });

  it('survives contributions whose squares underflow', () => {
    const made = work('a + b', [
      term('a', 1, '1', 2, [from('a', 3e-200)]),
      term('b', 1, '1', 2, [from('b', 4e-200)]),
    ]);
    expect(budgetOf(made).reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 9);
  });
});

describe('a working', () => {
  it('gives its own result again in an independent evaluator (mathjs)', () => {
    const n = work('1000 * V * d * w / 100 / M', [
      term('V', 5.0, 'mL', 2),
      term('d', 1.082, 'g/mL', 4),
      term('w', 98, '%', 2),
      workingTerm('M', 'M', 'M', molarMass('K3[Fe(C2O4)3]·3H2O')),
    ]);
    for (const one of [n, molarMass('CdCl2·2.5H2O'), molarMass('[Fe(C2O4)3]^3-'), molarMass('[13C]6H6')]) {
      expect(recompute(one)).toBeCloseTo(one.result.value, 10);
    }
  });

  it('is plain data: it survives JSON', () => {
    const made = work('a * b', [term('a', 2, 'g', 3, [from('a', 0.1)]), term('b', 3, '1', 2)]);
    expect(JSON.parse(JSON.stringify(made))).toEqual(made);
  });
});
