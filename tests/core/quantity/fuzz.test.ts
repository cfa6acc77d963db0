import { describe, expect, it } from 'vitest';
import { parseDecimal } from '../../../core/quantity/decimal.ts';
import { parseEntered } from '../../../core/quantity/entered.ts';
import { formatNumber } from '../../../core/quantity/format.ts';
import { units } from '../../../core/quantity/unit.ts';
import type { Dimension, UnitSymbol } from '../../../core/quantity/unit.ts';
import { fuzzRuns, fuzzText } from './fuzz-text.ts';

const pieces = [
  '0',
  '1',
  '2',
  '9',
  '50',
  '007',
  '.',
  ',',
  '-',
  '+',
  '−',
  'e',
  'E',
  '×',
  'x',
  '10',
  '^',
  '⁻',
  '³',
  '·',
  ' ',
  'NaN',
  'Infinity',
  'g',
  '½',
];

describe('quantity parsers', () => {
  it(`survive ${fuzzRuns} odd inputs: finite numbers, faults inside the input`, { timeout: 600_000 }, () => {
    const next = fuzzText(3, pieces);
    const symbols = Object.keys(units) as UnitSymbol[];
    const dimensions = [...new Set(Object.values(units).map((unit) => unit.dimension))] as Dimension[];
    let readable = 0;
    for (let run = 0; run < fuzzRuns; run += 1) {
      const text = next();
      const result = parseDecimal(text);
      if (!result.ok) {
        const { position } = result.error;
        const isInside =
          position !== undefined &&
          position >= 0 &&
          (position < text.length || (text === '' && position === 0));
        if (!isInside) expect.fail(`${JSON.stringify(text)}: ${result.error.code} at ${position ?? -1}`);
      } else {
        readable += 1;
        const { value, significantFigures, decimalPlaces } = result.value;
        const isSound = Number.isFinite(value) && significantFigures >= 1 && Number.isInteger(decimalPlaces);
        if (!isSound) expect.fail(text);
        formatNumber(value, significantFigures);
      }
      const unit = symbols[run % symbols.length] ?? 'g';
      const dimension =
        run % 3 === 0 ? units[unit].dimension : (dimensions[run % dimensions.length] ?? 'mass');
      const quantity = parseEntered({ text, unit }, dimension, 'x');
      if (quantity.ok && !Number.isFinite(quantity.value.value)) expect.fail(text);
    }
    expect(readable).toBeGreaterThan(fuzzRuns / 100);
  });
});
