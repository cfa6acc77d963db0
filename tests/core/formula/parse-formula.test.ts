import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formulaMarkup } from '../../../core/formula/formula-markup.ts';
import { hillFormula } from '../../../core/formula/hill.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import { fuzzRuns, fuzzText } from '../quantity/fuzz-text.ts';

const read = (text: string) => {
  const result = parseFormula(text);
  if (!result.ok) throw new Error(`${text}: ${result.error.code} at ${result.error.position ?? -1}`);
  return result.value;
};
const counts = (text: string) =>
  Object.fromEntries(read(text).elements.map((one) => [`${one.massNumber ?? ''}${one.element}`, one.count]));

describe('parseFormula', () => {
  it.each([
    'CuSO4.5H2O',
    'CuSO4·5H2O',
    'CuSO4*5H2O',
    'CuSO4 . 5 H2O',
    'CuSO4⋅5H2O',
    'CuSO4•5H2O',
    'CuSO₄·5H₂O',
    'CuSO4 · 5H2O',
  ])('reads %s as the pentahydrate (a full stop is never a decimal here)', (text) => {
    expect(counts(text)).toEqual({ Cu: 1, S: 1, O: 9, H: 10 });
  });

  it.each([
    ['(CH3)2CHOH', { C: 3, H: 8, O: 1 }],
    ['K3[Fe(C2O4)3]·3H2O', { K: 3, Fe: 1, C: 6, O: 15, H: 6 }],
    ['[Co(NH3)5Cl]Cl2', { Co: 1, N: 5, H: 15, Cl: 3 }],
    ['{[Cu(NH3)4]SO4}2', { Cu: 2, N: 8, H: 24, S: 2, O: 8 }],
    ['Co', { Co: 1 }],
    ['CO', { C: 1, O: 1 }],
    ['CdCl2·2.5H2O', { Cd: 1, Cl: 2, H: 5, O: 2.5 }],
    ['CaSO4·½H2O', { Ca: 1, S: 1, O: 4.5, H: 1 }],
    ['CaSO4·1/2H2O', { Ca: 1, S: 1, O: 4.5, H: 1 }],
    ['CaSO4.0.5H2O', { Ca: 1, S: 1, O: 4.5, H: 1 }],
    ['Na2CO3·H2O·H2O2', { Na: 2, C: 1, O: 6, H: 4 }],
    ['[13C]6H6', { '13C': 6, H: 6 }],
    ['¹³CH3OH', { '13C': 1, H: 4, O: 1 }],
    ['[13C]H3[12C]OOH', { '13C': 1, H: 4, '12C': 1, O: 2 }],
    ['CDCl3', { C: 1, '2H': 1, Cl: 3 }],
    ['[2H]2O', { '2H': 2, O: 1 }],
    ['T2O', { '3H': 2, O: 1 }],
    ['CH_{3}COOH', { C: 2, H: 4, O: 2 }],
    ['C_2H_6', { C: 2, H: 6 }],
    ['  NaCl  ', { Na: 1, Cl: 1 }],
  ])('counts the atoms of %s', (text, expected) => {
    expect(counts(text)).toEqual(expected);
  });

  it.each([
    ['SO4^2-', -2],
    ['SO₄²⁻', -2],
    ['SO4^{2-}', -2],
    ['SO4^2−', -2],
    ['NH4^+', 1],
    ['NH₄⁺', 1],
    ['[Fe(C2O4)3]^3-', -3],
    ['Hg2^2+', 2],
    ['MnO4^-', -1],
    ['[Al(H2O)6]^3+', 3],
  ])('reads the charge of %s', (text, charge) => {
    expect(read(text).charge).toBe(charge);
  });

  it.each([
    ['', 'formula-missing', 0],
    ['  ', 'formula-missing', 0],
    ['Xy', 'unknown-element', 0],
    ['C6(H5', 'bracket-not-closed', 2],
    ['H2O2)', 'bracket-not-opened', 4],
    ['C6H+', 'charge-needs-caret', 3],
    [' C6H+', 'charge-needs-caret', 4],
    ['C(H]2', 'bracket-mismatch', 3],
    ['C()2', 'bracket-empty', 1],
    ['(NH4^+)2', 'charge-inside-bracket', 4],
    ['2H2O', 'formula-starts-with-number', 0],
    ['Fe0.95O', 'count-zero', 2],
    ['O0', 'count-zero', 1],
    ['H2O.', 'hydrate-missing', 3],
    ['H2O.5', 'hydrate-missing', 4],
    ['CuSO4·0H2O', 'count-zero', 6],
    ['CuSO4·1.2.3H2O', 'hydrate-number-unreadable', 6],
    ['CuSO4 5H2O', 'formula-blank', 5],
    ['SO4^-2', 'formula-stray', 5],
    ['SO4^', 'charge-unreadable', 3],
    ['SO4^0-', 'charge-unreadable', 3],
    ['Na^+·Cl^-·Na^+', 'charge-twice', 7],
    ['C6H6😀', 'formula-stray', 4],
    ['C6H₆x', 'unknown-element', 4],
    ['TcO4^-', 'no-standard-atomic-weight', 0],
    ['C[99C]', 'isotope-unknown', 4],
    ['PhOH', 'group-abbreviation', 0],
    ['EtOH', 'group-abbreviation', 0],
    ['H99999999', 'formula-too-large', 1],
    ['((((H999)999)999)9)', 'formula-too-large', 2],
    ['('.repeat(13) + 'H' + ')'.repeat(13), 'formula-too-deep', 12],
    [`C${'H'.repeat(300)}`, 'formula-too-long', 300],
    ['H2O·1/9999H2O·1/9998H2O·1/9997H2O', 'formula-too-large', 30],
    ['CaSO4·1/0H2O', 'count-zero', 6],
    ['CaSO4·1//2H2O', 'hydrate-number-unreadable', 6],
    ['e^-', 'unknown-element', 0],
    ['CH3-CH3', 'charge-needs-caret', 3],
    ['СО2', 'formula-stray', 0], // Cyrillic letters that look like CO
    ['\u202EH2O', 'formula-stray', 0], // right-to-left override
  ])('refuses %j: %s at %i', (text, code, position) => {
    expect(parseFormula(text)).toMatchObject({ ok: false, error: { code, position } });
  });

  it.each([
    ['NACL', 'Na'],
    ['CL2', 'Cl'],
    ['Hcl', 'HCl'],
    ['cu', 'Cu'],
    ['h2o', 'H'],
    ['ZNO', 'Zn'],
    ['MNO2', 'Mn'],
    ['AgNo3', 'NO'],
    ['Naoh', 'O'],
  ])('suggests what %s was meant to be', (text, suggestion) => {
    const result = parseFormula(text);
    expect(result).toMatchObject({ ok: false, error: { facts: { suggestion } } });
  });

  it('doubts cobalt where carbon monoxide or dioxide may be meant, and leaves cobalt salts alone', () => {
    expect(read('Co').doubts).toMatchObject([{ code: 'symbol-case-doubt', facts: { other: 'CO' } }]);
    expect(read('Co2').doubts).toMatchObject([{ facts: { other: 'CO2' } }]);
    expect(read('CoCl2·6H2O').doubts).toEqual([]);
    expect(read('CO2').doubts).toEqual([]);
  });

  it('reads its own markup as the same formula', () => {
    const pieces = fc.constantFrom(
      'C',
      'H',
      'O',
      'N',
      'Cl',
      'Na',
      'Fe',
      'Cu',
      '(SO4)',
      '[Fe(CN)6]',
      'D',
      '[13C]',
    );
    const unit = fc
      .tuple(pieces, fc.integer({ min: 1, max: 40 }))
      .map(([piece, n]) => (n === 1 ? piece : `${piece}${n}`));
    const part = fc.array(unit, { minLength: 1, maxLength: 6 }).map((units) => units.join(''));
    const formula = fc
      .tuple(
        part,
        fc.constantFrom('', '·5H2O', '·2.5H2O', '·½H2O', '.H2O'),
        fc.constantFrom('', '^2-', '^+', '^3-'),
      )
      .map((pieces) => pieces.join(''));
    fc.assert(
      fc.property(formula, (text) => {
        const first = read(text);
        const again = read(first.markup.replaceAll(/\^\{(\d+)\}(?=[A-Z])([A-Z][a-z]?)/g, '[$1$2]'));
        expect(again.elements).toEqual(first.elements);
        expect(again.charge).toBe(first.charge);
        expect(again.markup).toBe(first.markup);
      }),
    );
  });

  it('finds a bracket multiplied out the same as written out', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 9 }),
        (a, b, c) => {
          const n = (value: number) => (value === 1 ? '' : String(value));
          expect(counts(`((CH${n(a)})${n(b)}O)${n(c)}`)).toEqual({ C: b * c, H: a * b * c, O: c });
        },
      ),
    );
  });

  it(
    `survives ${fuzzRuns} odd inputs: no crash, and every fault inside the input`,
    { timeout: 600_000 },
    () => {
      const next = fuzzText(1, [
        'C',
        'H',
        'O',
        'Na',
        'Cl',
        'Fe',
        'SO4',
        '(',
        ')',
        '[',
        ']',
        '{',
        '}',
        '2',
        '3',
        '0',
        '10',
        '.',
        '·',
        '*',
        '5H2O',
        '½',
        '1/2',
        '^',
        '2-',
        '+',
        '-',
        '−',
        '⁻',
        '₂',
        '¹³',
        '[13C]',
        'D',
        'e',
        'x',
        'Xy',
        ' ',
        '_',
        '_{2}',
        'Ph',
        'cu',
      ]);
      let readable = 0;
      for (let run = 0; run < fuzzRuns; run += 1) {
        const text = next();
        const result = parseFormula(text);
        if (result.ok) {
          readable += 1;
          if (!result.value.elements.every((one) => Number.isInteger(one.atoms) && one.atoms > 0))
            expect.fail(text);
          continue;
        }
        const { position } = result.error;
        const isInside =
          position !== undefined &&
          position >= 0 &&
          (position < text.length || (text === '' && position === 0));
        if (!isInside) expect.fail(`${JSON.stringify(text)}: ${result.error.code} at ${position ?? -1}`);
      }
      expect(readable).toBeGreaterThan(fuzzRuns / 100);
    },
  );
});

describe('formulaMarkup', () => {
  it.each([
    ['K3[Fe(C2O4)3].3H2O', 'K_{3}[Fe(C_{2}O_{4})_{3}]·3H_{2}O'],
    ['SO4^2-', 'SO_{4}^{2−}'],
    ['[13C]6H6', '^{13}C_{6}H_{6}'],
    ['not a formula', 'not a formula'],
    ['', ''],
  ])('%s becomes %s', (text, markup) => {
    expect(formulaMarkup(text)).toBe(markup);
  });
});

describe('hillFormula', () => {
  // Hill, J. Am. Chem. Soc. 22 (1900) 478 (from memory): C, H, then alphabetical; else alphabetical.
  it.each([
    ['CH3COOH', 'C2H4O2'],
    ['H2SO4', 'H2O4S'],
    ['NaHCO3', 'CHNaO3'],
    ['CuSO4·5H2O', 'CuH10O9S'],
    ['CDCl3', 'C[2H]Cl3'],
    ['[13C]H3CH3', 'C[13C]H6'],
    ['HBr', 'BrH'],
  ])('%s is %s', (text, hill) => {
    expect(hillFormula(read(text))).toBe(hill);
  });
});
