import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../core/workings/evaluate.ts';
import { readExpression } from '../../../core/workings/expression.ts';
import { evaluateOutside } from './outside.ts';

const valueOf = (formula: string, scope: Readonly<Record<string, number>> = {}) => {
  const expression = readExpression(formula);
  const values = expression.names.map((name) => scope[name] ?? NaN);
  return evaluate(
    expression,
    values,
    values.map(() => -Infinity),
  );
};

describe('readExpression', () => {
  it.each([
    ['1 + 2 * 3', 7],
    ['(1 + 2) * 3', 9],
    ['8 / 4 / 2', 1],
    ['8 - 4 - 2', 2],
    ['2 ^ 3 ^ 2', 512],
    ['-2 ^ 2', -4],
    ['2 ^ -1', 0.5],
    ['--3', 3],
    ['2 * -3', -6],
    ['sqrt(16) + ln(1) + exp(0) + log10(1000) + abs(-2)', 10],
    ['min(3, 1, 2) + max(3, 1, 2)', 4],
    ['1.5e3 + .5', 1500.5],
  ])('%s is %d', (formula, expected) => {
    expect(valueOf(formula).value).toBe(expected);
  });

  it.each(['', '1 +', '(1', '1)', '2 3', 'a b', 'sin(1)', 'min()', '1 , 2', 'a $ b', 'sqrt 4', '1..2', '=1'])(
    'throws on %j: formulas are ours, so a fault is a bug',
    (formula) => {
      expect(() => readExpression(formula)).toThrow(/formula/);
    },
  );

  it('reads the same text only once', () => {
    expect(readExpression('m * w / M')).toBe(readExpression('m * w / M'));
  });
});

/** Random formulas over a, b, c and numbers. */
const formulas = fc.letrec<{ formula: string }>((tie) => ({
  formula: fc.oneof(
    { maxDepth: 6 },
    fc.constantFrom('a', 'b', 'c', '2', '0.5', '10', '3.25'),
    fc
      .tuple(tie('formula'), fc.constantFrom('+', '-', '*', '/'), tie('formula'))
      .map(([l, op, r]) => `(${l} ${op} ${r})`),
    fc
      .tuple(tie('formula'), fc.constantFrom('+', '-', '*', '/'), tie('formula'))
      .map(([l, op, r]) => `${l} ${op} ${r}`),
    tie('formula').map((inner) => `-(${inner})`),
    fc.tuple(tie('formula'), fc.constantFrom('2', '3', '-1')).map(([base, power]) => `(${base}) ^ ${power}`),
    fc
      .tuple(fc.constantFrom('sqrt', 'ln', 'log10', 'exp', 'abs'), tie('formula'))
      .map(([f, x]) => `${f}(${x})`),
    fc
      .tuple(fc.constantFrom('min', 'max'), tie('formula'), tie('formula'))
      .map(([f, x, y]) => `${f}(${x}, ${y})`),
  ),
})).formula;
const terms = fc.record({
  a: fc.double({ min: 0.01, max: 100, noNaN: true }),
  // Never so near zero that only the last bits of a double are compared.
  b: fc.oneof(
    fc.double({ min: -100, max: -0.01, noNaN: true }),
    fc.double({ min: 0.01, max: 100, noNaN: true }),
  ),
  c: fc.double({ min: 0.5, max: 2, noNaN: true }),
});

describe('evaluate', () => {
  it('gives what an independent evaluator gives, or says why not (mathjs)', () => {
    let compared = 0;
    fc.assert(
      fc.property(formulas, terms, (formula, scope) => {
        const own = valueOf(formula, scope);
        if (own.fault !== null) return;
        const other = evaluateOutside(formula, scope);
        compared += 1;
        expect(typeof other).toBe('number');
        expect(Math.abs(own.value - Number(other))).toBeLessThanOrEqual(1e-12 * Math.abs(own.value) + 1e-300);
      }),
      { numRuns: 2000 },
    );
    expect(compared).toBeGreaterThan(500);
  });

  it('differentiates exactly: central differences agree', () => {
    let compared = 0;
    fc.assert(
      fc.property(formulas, terms, (formula, scope) => {
        const expression = readExpression(formula);
        const own = valueOf(formula, scope);
        // At a corner of min, max or abs a difference quotient has no meaning; they have a test of their own.
        if (own.fault !== null || Math.abs(own.value) > 1e8 || /min|max|abs/.test(formula)) return;
        const slopes = [...own.sensitivities.slice(0, expression.names.length)];
        for (const [index, name] of expression.names.entries()) {
          const slope = slopes[index] ?? 0;
          if (!Number.isFinite(slope) || Math.abs(slope) > 1e6) continue;
          const at = (delta: number) =>
            valueOf(formula, { ...scope, [name]: (scope as Record<string, number>)[name]! + delta });
          const estimates = [1e-5, 2e-5].map((h) => (at(h).value - at(-h).value) / (2 * h));
          const [near = NaN, far = NaN] = estimates;
          // Where the two step widths disagree the function bends too much to be compared.
          if (!(Math.abs(near - far) <= 1e-6 * (1 + Math.abs(near)))) continue;
          compared += 1;
          expect(Math.abs(slope - near)).toBeLessThanOrEqual(1e-4 * (1 + Math.abs(slope)));
        }
      }),
      { numRuns: 2000 },
    );
    expect(compared).toBeGreaterThan(500);
  });

  it.each([
    ['min(x, 3)', 2, 1],
    ['min(x, 1)', 2, 0],
    ['max(x, 3)', 2, 0],
    ['max(1, x, 0)', 2, 1],
    ['abs(x)', 2, 1],
    ['abs(-x)', 2, 1],
    ['abs(x)', -2, -1],
    ['min(x, x)', 2, 1],
  ])('slope of %s at x = %d is %d', (formula, x, slope) => {
    expect(valueOf(formula, { x }).sensitivities[0]).toBe(slope);
  });

  it.each([
    ['1 / x', 0, 'division-by-zero'],
    ['x ^ -1', 0, 'division-by-zero'],
    ['1 / (x - x)', 3, 'division-by-zero'],
    ['ln(x)', 0, 'outside-domain'],
    ['ln(x)', -1, 'outside-domain'],
    ['log10(x)', -1, 'outside-domain'],
    ['sqrt(x)', -1, 'outside-domain'],
    ['x ^ 0.5', -1, 'outside-domain'],
    ['exp(x)', 1000, 'too-large'],
    ['x * 1e300', 1e300, 'too-large'],
    ['0 * exp(x)', 1000, 'too-large'],
    ['x', NaN, 'outside-domain'],
    ['x', Infinity, 'too-large'],
  ])('%s at x = %d is %s', (formula, x, fault) => {
    expect(valueOf(formula, { x }).fault).toBe(fault);
  });
});
