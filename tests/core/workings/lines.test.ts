import { describe, expect, it } from 'vitest';
import { molarMassWorking } from '../../../core/formula/molar-mass.ts';
import { instrumentContributions } from '../../../core/quantity/instrument-contributions.ts';
import { rectangular } from '../../../core/quantity/uncertainty.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import { derive } from '../../../core/workings/derive.ts';
import { workingLines, workingParts } from '../../../core/workings/lines.ts';
import { plainText } from '../../../core/workings/markup.ts';
import { constantTerm, enteredTerm, exactTerm, workingTerm } from '../../../core/workings/term.ts';
import type { Working, WorkingTerm } from '../../../core/workings/working.ts';

const quantity = (value: number, unit: UnitSymbol, figures: number | null): Quantity => ({
  value,
  unit,
  standardUncertainty: null,
  significantFigures: figures,
});
const made = (formula: string, display: string, terms: readonly WorkingTerm[], unit: UnitSymbol): Working => {
  const result = derive({
    id: 'x',
    title: 'x',
    symbol: 'x',
    formula,
    display,
    terms,
    unit,
    citation: 'IUPAC Green Book',
  });
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
};
const spaced = (text: string): string => text.replaceAll('\u2009', ' ');

describe('workingParts', () => {
  const mass = quantity(2, 'g', 4);
  const balance = instrumentContributions('balance-0.001', mass, 'rows.0.taken');
  const molar = molarMassWorking('C7H6O3');
  if (!balance.ok || !molar.ok) throw new Error('set-up');
  const amount = made(
    '1000 * m * w / 100 / M',
    'n = 1000 · m · w / (100 · M)',
    [
      enteredTerm('m', 'm', 'mass of salicylic acid', mass, 'rows.0.taken', balance.value),
      enteredTerm('w', 'w', 'assay', quantity(99, '%', 3), 'rows.0.assay', [
        { source: 'rows.0.assay', label: 'assay', value: rectangular(0.5) },
      ]),
      workingTerm('M', 'M', 'molar mass', molar.value),
    ],
    'mmol',
  );

  it('shows formula, numbers with units, and the result', () => {
    const parts = workingParts(amount);
    expect(parts.formula).toBe('n = 1000 · m · w / (100 · M)');
    expect(spaced(parts.substituted)).toBe('n = 1000 × 2.000 g × 99.0 % / 100 / (138.122 g/mol)');
    expect(spaced(parts.result)).toBe('n = (14.34 ± 0.04) mmol');
  });

  it('says where every number comes from', () => {
    const titles = new Map([[molar.value.id, 'Molar mass of C_{7}H_{6}O_{3}']]);
    expect(workingParts(amount, titles).terms.map(spaced)).toEqual([
      'm = 2.000 g, u = 0.0008 g: mass of salicylic acid (as entered)',
      'w = 99.0 %, u = 0.29 %: assay (as entered)',
      'M = 138.122 g/mol, u = 0.008 g/mol: molar mass (from: Molar mass of C_{7}H_{6}O_{3})',
    ]);
  });

  it('names the table of a constant once, with its edition', () => {
    const { sources } = workingParts(molar.value);
    expect(sources).toHaveLength(2);
    expect(sources[1]).toContain('2021');
  });

  it('states the rounding rule and the number before rounding', () => {
    expect(workingParts(amount).rounding).toBe(
      'Rounded once, here, to the place the uncertainty reaches. Before rounding: 14.335153.',
    );
    const plain = made(
      'a / b',
      'x = a / b',
      [
        enteredTerm('a', 'a', 'a', quantity(2, 'g', 3), 'a'),
        enteredTerm('b', 'b', 'b', quantity(3, 'g', 3), 'b'),
      ],
      '1',
    );
    expect(workingParts(plain).rounding).toContain('as many figures as the least precise factor');
    expect(workingParts(plain).uncertainty).toBeNull();
  });

  it('shares out the uncertainty', () => {
    expect(spaced(workingParts(amount).uncertainty ?? '')).toBe(
      '± is the standard uncertainty (k = 1). Shares of its variance: assay 98 %; reading of the balance (0.001 g) 2 %; standard atomic weights < 1 %.',
    );
  });

  it.each([
    ['(a + b) * c', '(2.0 + 3.0) × 4.0'],
    ['a + b * c', '2.0 + 3.0 × 4.0'],
    ['a - (b - c)', '2.0 − (3.0 − 4.0)'],
    ['a - b - c', '2.0 − 3.0 − 4.0'],
    ['a / (b * c)', '2.0 / (3.0 × 4.0)'],
    ['a / b / c', '2.0 / 3.0 / 4.0'],
    ['(a + b) ^ 2 * c', '(2.0 + 3.0)^{2} × 4.0'],
    ['a ^ 2 + b * c', '2.0^{2} + 3.0 × 4.0'],
    ['-a * b + c', '(−2.0) × 3.0 + 4.0'],
    ['sqrt(a) * ln(b) / exp(c)', '√(2.0) × ln(3.0) / exp(4.0)'],
    ['min(a, b, c)', 'min(2.0; 3.0; 4.0)'],
    ['abs(a - b) * c', '|2.0 − 3.0| × 4.0'],
  ])('writes %s as %s', (formula, expected) => {
    const term = (key: string, value: number) => enteredTerm(key, key, key, quantity(value, '1', 2), key);
    const working = made(formula, 'x = …', [term('a', 2), term('b', 3), term('c', 4)], '1');
    expect(workingParts(working).substituted).toBe(`x = ${expected}`);
  });

  it('brackets a negative value', () => {
    const working = made(
      'a - b',
      'x = a − b',
      [
        enteredTerm('a', 'a', 'a', quantity(2, '°C', 2), 'a'),
        enteredTerm('b', 'b', 'b', quantity(-12.5, '°C', 3), 'b'),
      ],
      'Δ°C',
    );
    expect(spaced(workingParts(working).substituted)).toBe('x = 2.0 °C − (−12.5 °C)');
    expect(spaced(workingParts(working).result)).toBe('x = 14.5 °C');
  });
});

describe('workingLines', () => {
  it('reads from formula to notes, in light markup', () => {
    const working = made(
      'N * c',
      'n = N · c',
      [
        exactTerm('N', 'N_{p}', 'portions', 3, 'counted'),
        constantTerm('c', 'c', 'a constant', quantity(2.5, 'g', 2), 'a table, 1st ed.'),
      ],
      'g',
    );
    const lines = workingLines({ ...working, notes: ['A note.'] })
      .map(plainText)
      .map(spaced);
    expect(lines).toEqual([
      'n = N · c',
      'n = 3 × 2.5 g',
      'n = 7.5 g',
      'Rounded once, here, to as many figures as the least precise factor has.',
      'N_p = 3: portions (counted)',
      'c = 2.5 g: a constant',
      'Formula: IUPAC Green Book',
      'Values: a table, 1st ed.',
      'A note.',
    ]);
  });
});
