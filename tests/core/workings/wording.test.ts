import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { balance } from '../../../core/equation/balance.ts';
import { parseEquation } from '../../../core/equation/parse-equation.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import { parseDecimal } from '../../../core/quantity/decimal.ts';
import { parseEntered } from '../../../core/quantity/entered.ts';
import { instrumentContributions } from '../../../core/quantity/instrument-contributions.ts';
import type { Dimension, UnitSymbol } from '../../../core/quantity/unit.ts';
import type { Problem } from '../../../core/result.ts';
import { numberSentences } from '../../../core/wording/numbers.ts';

const core = new URL('../../../core/', import.meta.url);
const emitted = new Set(
  ['quantity', 'formula', 'equation', 'workings'].flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, core)).flatMap((file) => {
      const source = readFileSync(new URL(`${folder}/${file}`, core), 'utf8');
      return [...source.matchAll(/(?:code:|fault\(|problem\(|fact\(|\? )\s*'([a-z]+(?:-[a-z]+)+)'/g)].map(
        (match) => match[1] ?? '',
      );
    }),
  ),
);

describe('numberSentences', () => {
  it('has a sentence for every code the sources emit', () => {
    expect(emitted.size).toBeGreaterThan(50);
    // A rounding rule is no problem and needs no sentence.
    emitted.delete('decimal-places');
    const missing = [...emitted].filter((code) => !Object.hasOwn(numberSentences, code));
    expect(missing).toEqual([]);
  });

  const say = ({ code, facts }: Problem): string => numberSentences[code]?.(facts) ?? `no sentence: ${code}`;
  const typed = (text: string, unit: UnitSymbol, dimension: Dimension): Problem[] => {
    const result = parseEntered({ text, unit }, dimension, '');
    return result.ok ? [] : [result.error];
  };
  const formula = (text: string): Problem[] => {
    const result = parseFormula(text);
    return result.ok ? [...result.value.doubts] : [result.error];
  };
  const equation = (text: string): Problem[] => {
    const result = parseEquation(text);
    return result.ok ? [...balance(result.value).explanation] : [result.error];
  };
  const number = (text: string): Problem[] => {
    const result = parseDecimal(text);
    return result.ok ? [] : [result.error];
  };
  const measured = (id: string, value: number, unit: UnitSymbol): Problem[] => {
    const result = instrumentContributions(
      id,
      { value, unit, standardUncertainty: null, significantFigures: 3 },
      '',
    );
    return result.ok ? [] : [result.error];
  };

  it.each([
    [typed('2', 'mL', 'mass'), 'mL is the unit of a volume; here a mass is needed.'],
    [typed('-3', 'mg', 'mass'), '−3 mg cannot be right: here a mass lies between 0 and 1000000 g.'],
    [typed('0', 'g/mL', 'density'), 'A density cannot be zero.'],
    [
      typed('-300', '°C', 'temperature'),
      '−300 °C cannot be right: here a temperature lies between −273.15 and 5000 °C.',
    ],
    [
      number('1,5'),
      'A comma can mean two things. Write the decimal sign as a point, and no sign between thousands.',
    ],
    [formula('Hcl'), 'There is no element “Hc”. Was HCl meant?'],
    [formula('Xy'), 'There is no element “Xy”.'],
    [formula('Co'), 'Co is read as cobalt. If CO was meant, write both letters as capitals.'],
    [
      formula('AgNo3'),
      'There is no standard atomic weight of nobelium (No), which has no stable isotopes. Was NO meant?',
    ],
    [formula('C6(H5'), 'The bracket “(” is not closed.'],
    [formula('EtOH'), 'Et is a short form of a group. Write it out: C2H5.'],
    [equation('CH4 + O2 -> CO2'), 'H stands only before the arrow.'],
    [equation('Na+ + Cl- -> NaCl'), 'If “+” is a charge, write it with a caret: Na^+, SO4^2-.'],
    [
      measured('cylinder-astm-10-b', 12, 'mL'),
      'The 10 mL measuring cylinder, class B holds 10 mL: choose a larger one, or one row for each filling.',
    ],
  ])('%#: %s', (problems, sentence) => {
    expect(problems.map(say)).toContain(sentence);
  });

  it('leaves no gap where a fact was expected', () => {
    const texts = [
      '',
      'Xy',
      'C(',
      'C)',
      'C()',
      'O0',
      'H2O.',
      'C^',
      'C+',
      '2C',
      'C C',
      'Ph',
      'Tc',
      '[99C]',
      'C😀',
    ];
    const equations = [
      '',
      'H2',
      '->',
      'H2 -> ->',
      'H2 + + O2 -> H2O',
      '0H2 -> H2',
      'H2O2 + O2 -> H2O',
      'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
    ];
    for (const problem of [
      ...texts.flatMap(formula),
      ...equations.flatMap(equation),
      ...['', 'x', '1 2', '１', '1e999'].flatMap(number),
    ]) {
      expect(say(problem)).toMatch(/^\S.*[.)?]$/);
      expect(say(problem)).not.toMatch(/undefined|“”|NaN|no sentence/);
    }
  });
});
