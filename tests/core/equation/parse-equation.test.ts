import { describe, expect, it } from 'vitest';
import { balance } from '../../../core/equation/balance.ts';
import { balancedMarkup, equationMarkup } from '../../../core/equation/equation-markup.ts';
import { parseEquation } from '../../../core/equation/parse-equation.ts';
import { fuzzRuns, fuzzText } from '../quantity/fuzz-text.ts';

const read = (text: string) => {
  const result = parseEquation(text);
  if (!result.ok) throw new Error(`${text}: ${result.error.code} at ${result.error.position ?? -1}`);
  return result.value;
};
const outline = (text: string) =>
  read(text).species.map(
    (one) => `${one.side === 'left' ? '<' : '>'}${one.typed?.numerator ?? ''} ${one.text}`,
  );

describe('parseEquation', () => {
  it.each(['->', '→', '=', '-->', '⟶', '=>', '==', '⇌', '<=>', '<->', '⇄'])(
    'takes %s for an arrow',
    (arrow) => {
      expect(outline(`H2 + O2 ${arrow} H2O`)).toEqual(['< H2', '< O2', '> H2O']);
      expect(outline(`H2+O2${arrow}H2O`)).toEqual(['< H2', '< O2', '> H2O']);
    },
  );

  it('tells a reaction that goes both ways', () => {
    expect(read('A'.replace('A', 'N2 + H2 ⇌ NH3')).arrow).toBe('⇌');
    expect(read('N2 + H2 -> NH3').arrow).toBe('→');
  });

  it('keeps charges apart from the plus between species', () => {
    expect(outline('Fe^3+ + I^- -> Fe^2+ + I2')).toEqual(['< Fe^3+', '< I^-', '> Fe^2+', '> I2']);
    expect(outline('H^++OH^- -> H2O')).toEqual(['< H^+', '< OH^-', '> H2O']);
    expect(outline('H⁺ + OH⁻ → H₂O')).toEqual(['< H⁺', '< OH⁻', '> H₂O']);
    expect(outline('H^{+} + OH^{-} → H2O')).toEqual(['< H^{+}', '< OH^{-}', '> H2O']);
  });

  it('reads coefficients, fractions, states and arrows for gases and solids', () => {
    expect(outline('2 H2 (g) + O2(g) -> 2H2O(l)')).toEqual(['<2 H2', '< O2', '>2 H2O']);
    const [, oxygen] = read('H2 + 1/2 O2 -> H2O').species;
    expect(oxygen?.typed).toEqual({ numerator: 1, denominator: 2 });
    expect(read('H2 + ½O2 -> H2O').species[1]?.typed).toEqual({ numerator: 1, denominator: 2 });
    expect(read('H2 + 0.5 O2 -> H2O').species[1]?.typed).toEqual({ numerator: 1, denominator: 2 });
    expect(outline('BaCl2(aq) + Na2SO4(aq) -> BaSO4↓ + 2 NaCl')).toEqual([
      '< BaCl2',
      '< Na2SO4',
      '> BaSO4',
      '>2 NaCl',
    ]);
    expect(read('NaCl(aq) -> NaCl(s)').species.map((one) => one.state)).toEqual(['aq', 's']);
  });

  it('keeps hydrates whole', () => {
    expect(outline('CuSO4 . 5 H2O -> CuSO4 + 5 H2O')).toEqual(['< CuSO4 . 5 H2O', '> CuSO4', '>5 H2O']);
  });

  it.each([
    ['', 'equation-missing', 0],
    ['H2 + O2', 'arrow-missing', 6],
    ['H2 -> -> H2O', 'arrow-twice', 6],
    ['H2 -> H2O -> O2', 'arrow-twice', 10],
    ['-> H2O', 'side-empty', 0],
    ['H2O ->', 'side-empty', 5],
    ['H2 + + O2 -> H2O', 'species-missing', 3],
    ['H2 + -> H2O', 'species-missing', 3],
    ['Na+ + Cl- -> NaCl', 'charge-needs-caret', 2],
    ['Hcl + NaOH -> NaCl + H2O', 'unknown-element', 0],
    ['HCl + Naoh -> NaCl + H2O', 'unknown-element', 8],
    ['H2 + 2 Oo -> H2O', 'unknown-element', 7],
    ['0 H2 + O2 -> H2O', 'coefficient-zero', 0],
    ['2.5.1 H2 -> H2', 'coefficient-unreadable', 0],
    ['Fe^3+ + e^- -> Fe^2+', 'electron-in-equation', 8],
    ['Fe^3+ + e⁻ -> Fe^2+', 'electron-in-equation', 8],
    ['x'.repeat(1001), 'equation-too-long', 1000],
    [`${'H2 + '.repeat(24)}O2 -> H2O`, 'too-many-species', 119],
  ])('refuses %j: %s at %i', (text, code, position) => {
    expect(parseEquation(text)).toMatchObject({ ok: false, error: { code, position } });
  });

  it(
    `and balance survive ${fuzzRuns} odd inputs: no crash, no hang, faults inside the input`,
    { timeout: 900_000 },
    () => {
      const next = fuzzText(2, [
        'H2',
        'O2',
        'H2O',
        'CuSO4·5H2O',
        'Fe^3+',
        'MnO4^-',
        'NaCl',
        'C6H12O6',
        'CO2',
        '[13C]O2',
        ' + ',
        '+',
        ' -> ',
        '→',
        '=',
        '⇌',
        '2 ',
        '1/2',
        '½',
        '0',
        '(aq)',
        '(s)',
        '↓',
        '(',
        ')',
        '.',
        '^',
        '-',
        ' ',
        'e^-',
        'x',
        'Cu',
      ]);
      let readable = 0;
      let slowest = 0;
      for (let run = 0; run < fuzzRuns; run += 1) {
        const text = next();
        const result = parseEquation(text);
        if (!result.ok) {
          const { position } = result.error;
          const isInside =
            position !== undefined &&
            position >= 0 &&
            (position < text.length || (text === '' && position === 0));
          if (!isInside) expect.fail(`${JSON.stringify(text)}: ${result.error.code} at ${position ?? -1}`);
          continue;
        }
        readable += 1;
        const begun = performance.now();
        const found = balance(result.value);
        slowest = Math.max(slowest, performance.now() - begun);
        const isSound =
          found.kind === 'impossible'
            ? found.coefficients.length === 0
            : found.coefficients.every((n) => Number.isSafeInteger(n) && n > 0);
        if (!isSound) expect.fail(text);
      }
      expect(readable).toBeGreaterThan(fuzzRuns / 1000);
      expect(slowest).toBeLessThan(1000);
    },
  );
});

describe('equationMarkup', () => {
  it.each([
    ['2 H2 + O2 -> 2 H2O', '2\u2009H_{2} + O_{2} → 2\u2009H_{2}O'],
    ['N2+3H2<=>2NH3', 'N_{2} + 3\u2009H_{2} ⇌ 2\u2009NH_{3}'],
    ['Ag^+(aq) + Cl^-(aq) -> AgCl(s)', 'Ag^{+}\u2009(aq) + Cl^{−}\u2009(aq) → AgCl\u2009(s)'],
    ['no equation', 'no equation'],
    ['', ''],
  ])('%s becomes %s', (text, markup) => {
    expect(equationMarkup(text)).toBe(markup);
  });

  it('prints given coefficients and leaves out a 1', () => {
    expect(balancedMarkup(read('C4H10 + O2 -> CO2 + H2O'), [2, 13, 8, 10])).toBe(
      '2\u2009C_{4}H_{10} + 13\u2009O_{2} → 8\u2009CO_{2} + 10\u2009H_{2}O',
    );
    expect(balancedMarkup(read('C14H10O2 + KOH -> C14H11KO3'), [1, 1, 1])).toBe(
      'C_{14}H_{10}O_{2} + KOH → C_{14}H_{11}KO_{3}',
    );
  });
});
