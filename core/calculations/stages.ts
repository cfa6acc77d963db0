import { exactTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import type { Calculation } from './calculation.ts';
import type { Sheet } from './sheet.ts';
import { defineCalculation, field } from './sheet.ts';

const { entered } = field;
const hundred = exactTerm('hundred', '100', 'per cent', 100, 'definition of per cent');

const stageTerms = (sheet: Sheet, key: string): readonly WorkingTerm[] | null => {
  const rows = sheet.series(key, { yield: 'Y' });
  if (rows === null) return null;
  return rows.map((row, index) => ({
    ...(row['yield'] as WorkingTerm),
    key: `${key}_${index}`,
    symbol: `Y_{${key === 'second' ? 'b' : key === 'joint' ? 'c' : 'a'}${index + 1}}`,
  }));
};

/** Product of the yields of one line of stages, in per cent: Y = Π (Yᵢ / 100) · 100. */
function product(
  sheet: Sheet,
  id: string,
  title: string,
  symbol: string,
  terms: readonly WorkingTerm[],
): void {
  const working = sheet.answer({
    id,
    title,
    symbol,
    formula: `hundred * ${terms.map(({ key }) => `(${key} / hundred)`).join(' * ')}`,
    display: `${symbol} = ${terms.map((term) => term.symbol).join(' · ')}`,
    terms: [hundred, ...terms],
    unit: '%',
    citation: 'yields in sequence multiply; OpenStax Chemistry 2e, 4.4, for each of them',
  });
  if (working === null) return;
  for (const term of terms) {
    if (term.quantity.value > 100) {
      sheet.say('doubt', `${term.meaning}: a yield above 100 % points to a wet or impure product.`);
    }
  }
}

/** Overall yield of stages one after the other, and of two branches that meet. */
export const overallYield: Calculation = defineCalculation({
  id: 'overall-yield',
  title: 'Overall yield of several stages',
  purpose: 'What is left of the starting material after several preparations in a row.',
  section: 'result',
  fields: [
    field.series('first', 'Stages, or the first branch', 1, [['yield', 'Yield', 'fraction', '%']]),
    field.series('second', 'Second branch, if two branches meet', 0, [['yield', 'Yield', 'fraction', '%']]),
    field.series('joint', 'Stages after the branches have met', 0, [['yield', 'Yield', 'fraction', '%']]),
  ],
  example: {
    first: ['86.4', '80.5'].map((text) => ({ yield: entered('%')(text) })),
    second: [],
    joint: [],
  },
  solve(sheet) {
    const first = stageTerms(sheet, 'first');
    const second = stageTerms(sheet, 'second');
    const joint = stageTerms(sheet, 'joint');
    if (first === null || second === null || joint === null) return;
    if (second.length === 0) {
      product(sheet, 'overall', 'Overall yield', 'Y', [...first, ...joint]);
      return;
    }
    product(sheet, 'overall-first', 'Overall yield on the first starting material', 'Y_{a}', [
      ...first,
      ...joint,
    ]);
    product(sheet, 'overall-second', 'Overall yield on the second starting material', 'Y_{b}', [
      ...second,
      ...joint,
    ]);
    sheet.say(
      'advice',
      'A convergent route has one overall yield for each starting material; they are not averaged.',
    );
  },
});
