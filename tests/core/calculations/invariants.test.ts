import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CalculationField, CalculationInputs } from '../../../core/calculations/calculation.ts';
import { calculations } from '../../../core/calculations/index.ts';
import { calculationSentences } from '../../../core/wording/calculations.ts';
import { numberSentences } from '../../../core/wording/numbers.ts';
import { units } from '../../../core/quantity/unit.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const typed = fc.oneof(
  fc.constantFrom(
    '',
    '0',
    '-1',
    '1',
    '0.5',
    '25',
    '100',
    '1e9',
    '1e-9',
    'abc',
    'NaN',
    '1e999',
    '−20',
    '1,5',
    '٣',
  ),
  fc.double({ min: -500, max: 5000, noNaN: true }).map((n) => n.toFixed(3)),
  fc.string({ maxLength: 8 }),
);
const anyUnit = fc.constantFrom(...(Object.keys(units) as UnitSymbol[]));

const quantity = (unit: UnitSymbol) =>
  fc.record({
    text: typed,
    unit: fc.oneof({ weight: 9, arbitrary: fc.constant(unit) }, { weight: 1, arbitrary: anyUnit }),
  });

function inputFor(field: CalculationField): fc.Arbitrary<CalculationInputs[string] | undefined> {
  switch (field.kind) {
    case 'quantity':
      return fc.oneof(
        { weight: 9, arbitrary: quantity(field.unit) },
        { weight: 1, arbitrary: fc.constant(undefined) },
      );
    case 'choice':
      return fc.oneof(
        { weight: 9, arbitrary: fc.constantFrom(...field.options.map(({ key }) => key)) },
        { weight: 1, arbitrary: fc.string() },
      );
    case 'formula':
      return fc.constantFrom('NaCl', 'H2O', 'CuSO4·5H2O', 'Xy', '', 'C6(H5', 'KAl(SO4)2');
    case 'series':
      return fc.array(
        fc.record(Object.fromEntries(field.columns.map(({ key, unit }) => [key, quantity(unit)]))),
        {
          maxLength: 6,
        },
      );
  }
}

const sentences = { ...numberSentences, ...calculationSentences };

describe.each(calculations.map((one) => [one.id, one] as const))('%s', (_id, calculation) => {
  it('gives only finite numbers and problems that can be said in words, whatever is typed', () => {
    const inputs = fc.record(Object.fromEntries(calculation.fields.map((one) => [one.key, inputFor(one)])));
    fc.assert(
      fc.property(inputs, (values) => {
        const outcome = calculation.work(values as CalculationInputs);
        for (const { result } of outcome.workings) {
          expect(Number.isFinite(result.value)).toBe(true);
          if (result.standardUncertainty !== null)
            expect(Number.isFinite(result.standardUncertainty)).toBe(true);
        }
        for (const id of outcome.answers) expect(outcome.workings.some((one) => one.id === id)).toBe(true);
        for (const { code, facts } of outcome.problems) {
          const sentence = sentences[code]?.(facts) ?? '';
          expect(sentence, code).not.toBe('');
          // What was typed may be quoted back, and may itself say anything.
          expect(sentence.replace(/“.*”/gs, ''), code).not.toMatch(/undefined|NaN|Infinity/);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('is blocked, not wrong, when a needed field is blank', () => {
    for (const field of calculation.fields) {
      if (field.kind === 'choice' || (field.kind !== 'series' && field.isOptional)) continue;
      if (field.kind === 'series' && field.atLeast === 0) continue;
      const { [field.key]: _, ...rest } = calculation.example;
      const outcome = calculation.work(rest);
      expect(
        outcome.problems.map(({ where }) => where),
        field.key,
      ).toContain(field.key);
    }
  });
});
