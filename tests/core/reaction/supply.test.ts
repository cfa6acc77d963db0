import { describe, expect, it } from 'vitest';
import type { Strength, Supply } from '../../../core/reaction/table-types.ts';
import {
  amountOf,
  codesOf,
  entered,
  massFraction,
  massPerVolume,
  measure,
  molar,
  neat,
  row,
  rowOf,
  solid,
  solution,
  tableOf,
  valueOf,
} from './make-table.ts';

const strength = (kind: Strength['kind'], typed: string, more: object = {}): Supply =>
  solution({ kind, entered: entered(typed), ...more } as Strength);

/** Grams of the substance itself in what was measured out. */
const grams = (formula: string, supply: Supply, typed: string): number => {
  const table = tableOf('', row('it', formula, 'reagent', supply, typed));
  return (amountOf(table, 'it') / 1000) * valueOf(rowOf(table, 'it').molarMass);
};
const mmol = (formula: string, supply: Supply, typed: string): number =>
  amountOf(tableOf('', row('it', formula, 'reagent', supply, typed)), 'it');

describe('strengths read as their labels say', () => {
  // OpenStax Chemistry 2e, chapter 3, unless said.
  it('example 3.17: 0.250 L of 5.30 mol/L holds 77.4 g sodium chloride, unrounded on the way', () => {
    expect(Math.abs(grams('NaCl', molar('5.30'), '0.250 L') - 77.4)).toBeLessThan(0.05);
  });
  it('example 3.23: 500 mL of 37.2 % w/w acid at 1.19 g/mL hold 221 g', () => {
    expect(Math.abs(grams('HCl', massFraction('37.2', '1.19'), '500 mL') - 221.3)).toBeLessThan(0.5);
  });
  it('example 3.24: 355 mL of 70 % v/v propan-2-ol at 0.785 g/mL hold 195 g', () => {
    const supply = strength('volume-fraction', '70 % v/v', { neatDensity: entered('0.785 g/mL') });
    expect(Math.abs(grams('C3H8O', supply, '355 mL') - 195)).toBeLessThan(0.5);
  });
  it('3.4 exercises: 40.0 g nitric acid are in 58.8 g of 68.0 % w/w', () => {
    const table = tableOf('', row('it', 'HNO3', 'reagent', massFraction('68.0', null), `${40 / 63.012} mol`));
    expect(Math.abs(valueOf(rowOf(table, 'it').taken.mass) - 58.8)).toBeLessThan(0.05);
  });
  it('example 3.22: 5.0 g of 750 ppm hold 3.75 mg glucose', () => {
    const supply = strength('parts-per-million', '750 ppm', { density: null });
    expect(grams('C6H12O6', supply, '5.0 g')).toBeCloseTo(0.00375, 6);
  });
  it('0.9 % w/v sodium chloride: 0.9 g in 100 mL, 0.154 mol/L', () => {
    expect(grams('NaCl', massPerVolume('0.9'), '100 mL')).toBeCloseTo(0.9, 6);
    expect(mmol('NaCl', massPerVolume('0.9'), '100 mL') / 100).toBeCloseTo(0.154, 3);
  });
  it('chapter 11, example 11.3: 4220 g of 17.9 mol/kg hold 2220 g ethane-1,2-diol, not 4220 × 17.9', () => {
    const supply = strength('molality', '17.884 mol/kg', { density: null });
    expect(Math.abs(grams('C2H6O2', supply, '4220 g') - 2220)).toBeLessThan(1);
  });
  it('normality counts equivalents: 1 eq/L sulfuric acid is 0.5 mol/L, 0.1 eq/L permanganate 0.02 mol/L (definition)', () => {
    const acid = strength('normality', '1.000 eq/L', { equivalenceFactor: entered('2 eq/mol') });
    expect(mmol('H2SO4', acid, '10.0 mL')).toBeCloseTo(5, 9);
    const oxidant = strength('normality', '0.1000 eq/L', { equivalenceFactor: entered('5 eq/mol') });
    expect(mmol('KMnO4', oxidant, '10.0 mL')).toBeCloseTo(0.2, 9);
  });
  it('1 : 1 hydrochloric acid is half as strong, 1 : 2 a third: parts by volume, additive (arithmetic)', () => {
    const mixed = (x: string, y: string): Supply =>
      strength('parts-by-volume', '12.1 mol/L', { stockParts: entered(x), waterParts: entered(y) });
    const table = (supply: Supply) => tableOf('', row('it', 'HCl', 'reagent', supply, '10.0 mL'));
    const litreOf = (supply: Supply): number => {
      const { amount } = rowOf(table(supply), 'it').taken;
      return amount.state === 'known' ? (amount.working?.result.value ?? Number.NaN) * 100 : Number.NaN;
    };
    expect(litreOf(mixed('1', '1'))).toBeCloseTo(6.05, 9);
    expect(litreOf(mixed('1', '2'))).toBeCloseTo(12.1 / 3, 9);
    expect(litreOf(mixed('2', '4'))).toBeCloseTo(12.1 / 3, 9);
    const cell = rowOf(table(mixed('1', '1')), 'it').taken.amount;
    const notes = cell.state === 'known' ? (cell.working?.notes ?? []) : [];
    expect(notes.join(' ')).toContain('as if the volumes added up');
    // The parts are chosen numbers: one figure in "1 : 1" costs the amount no digits.
    expect(cell.state === 'known' && cell.quantity.significantFigures).toBe(3);
  });
  it('20 volumes of oxygen are 1.785 mol/L hydrogen peroxide (pharmacopoeial usage, from memory)', () => {
    expect(mmol('H2O2', strength('oxygen-volumes', '20 vol'), '1000 mL')).toBeCloseTo(1785, 0);
  });
  it('10 % sodium hydroxide is 2.77 mol/L read as w/w and 2.50 read as w/v (density 1.1089: CRC Handbook)', () => {
    expect(mmol('NaOH', massFraction('10', '1.1089'), '1 L') / 1000).toBeCloseTo(2.77, 2);
    expect(mmol('NaOH', massPerVolume('10'), '1 L') / 1000).toBeCloseTo(2.5, 2);
  });

  it.each([
    // OpenStax Chemistry 2e, appendix; each molarity to 1 %.
    ['CH3CO2H', '99.5', '1.05', 17.4],
    ['NH3', '28', '0.90', 14.8],
    ['HCl', '36', '1.18', 11.6],
    ['HNO3', '71', '1.42', 16.0],
    ['HClO4', '70', '1.67', 11.65],
    ['H3PO4', '85', '1.70', 14.7],
    ['NaOH', '50', '1.53', 19.1],
    ['H2SO4', '96', '1.84', 18.0],
    // Perry's Handbook, 20 °C.
    ['HCl', '10', '1.048', 2.87],
    ['HCl', '30', '1.149', 9.45],
    ['HCl', '38', '1.189', 12.39],
  ])('commercial %s of %s %% w/w and %s g/mL is %f mol/L', (formula, percent, density, molPerL) => {
    const found = mmol(formula, massFraction(percent, density), '1 L') / 1000;
    expect(Math.abs(found - molPerL)).toBeLessThan(0.01 * molPerL);
  });

  it('2.00 mol hydrogen chloride are in 171.6 mL of 36 %, 0.75 mol sulfuric acid in 41.6 mL of 96 %', () => {
    const volume = (formula: string, supply: Supply, amount: string): number =>
      valueOf(rowOf(tableOf('', row('it', formula, 'reagent', supply, amount)), 'it').taken.volume);
    expect(Math.abs(volume('HCl', massFraction('36', '1.18'), '2.00 mol') - 171.6)).toBeLessThan(0.2);
    expect(Math.abs(volume('H2SO4', massFraction('96', '1.84'), '0.750 mol') - 41.6)).toBeLessThan(0.2);
  });

  it('one mole of an ideal gas takes up 22.414 L at 0 °C and 1 atm (CODATA), and 655 g methane 1020 L at 25 °C and 745 mmHg (OpenStax 9.2, from memory)', () => {
    const at = (temperature: string, pressure: string): Supply => ({
      kind: 'gas',
      temperature: entered(temperature),
      pressure: entered(pressure),
    });
    expect(mmol('O2', at('0.00 °C', '1.000 atm'), '22.414 L')).toBeCloseTo(1000, 1);
    const methane = tableOf('', row('it', 'CH4', 'reagent', at('25 °C', '745 mmHg'), '655 g'));
    expect(Math.abs(valueOf(rowOf(methane, 'it').taken.volume) / 1000 - 1020)).toBeLessThan(3);
  });

  it('a gas that is made is told by its volume too', () => {
    // 1.500 g Zn (65.38 g/mol) → 22.943 mmol H₂; V = n R T / p at 22.0 °C and 99.8 kPa, by hand: 564.1 mL
    const gas: Supply = { kind: 'gas', temperature: entered('22.0 °C'), pressure: entered('99.8 kPa') };
    const table = tableOf(
      'Zn + 2 HCl -> ZnCl2 + H2',
      row('zinc', 'Zn', 'reactant', solid(), '1.500 g'),
      row('acid', 'HCl', 'reactant', molar('2.00'), '50.0 mL'),
      row('hydrogen', 'H2', 'product', gas, null),
    );
    expect(valueOf(rowOf(table, 'hydrogen').taken.volume)).toBeCloseTo(564.1, 0);
  });

  it.each<[string, Supply, string]>([
    ['solid', solid('97.0 %'), '2.500 g'],
    ['neat liquid by volume', neat('0.8104', '98.5 %'), '5.00 mL'],
    ['neat liquid by mass', neat('0.8104', '98.5 %'), '5.00 g'],
    ['mol/L', molar('2.00'), '25.0 mL'],
    ['% w/w by mass', massFraction('36.0', '1.180'), '25.0 g'],
    ['% w/v', massPerVolume('10.0'), '25.0 mL'],
    ['% v/v', strength('volume-fraction', '70.0 % v/v', { neatDensity: entered('0.785 g/mL') }), '25.0 mL'],
    ['molality by volume', strength('molality', '1.50 mol/kg', { density: entered('1.02 g/mL') }), '25.0 mL'],
    ['normality', strength('normality', '1.00 eq/L', { equivalenceFactor: entered('2 1') }), '25.0 mL'],
    ['ppm by volume', strength('parts-per-million', '500 ppm', { density: entered('1.00 g/mL') }), '25.0 mL'],
    ['gas', { kind: 'gas', temperature: entered('20 °C'), pressure: entered('100 kPa') }, '250 mL'],
  ])('%s: amount and what is measured out follow from each other both ways', (_, supply, typed) => {
    const formula = 'C5H12O';
    const forward = rowOf(tableOf('', row('it', formula, 'reagent', supply, typed)), 'it').taken;
    const amount = `${amountOf(tableOf('', row('it', formula, 'reagent', supply, typed)), 'it') / 1000} mol`;
    const back = rowOf(tableOf('', row('it', formula, 'reagent', supply, amount)), 'it').taken;
    for (const cell of ['mass', 'volume'] as const) {
      if (forward[cell].state !== 'known') continue;
      const [first, second] = [forward[cell], back[cell]].map(valueOf);
      // Cells keep the unit typed; both are in the unit of the column here.
      expect(second).toBeCloseTo(first ?? NaN, 6);
    }
    expect([forward.mass.state, forward.volume.state]).toContain('known');
  });

  it('says that mass and volume are those of what is measured out', () => {
    const { mass } = rowOf(
      tableOf('', row('it', 'HCl', 'reagent', massFraction('36', '1.18'), '10.0 mL')),
      'it',
    ).taken;
    expect(valueOf(mass)).toBeCloseTo(11.8, 6);
    expect(mass.state === 'known' ? mass.working?.notes.join() : '').toContain('measured out');
  });
});

describe('what a bottle lacks is named and blocks only what needs it', () => {
  const problemsOf = (supply: Supply, typed: string, formula = 'C5H12O') => {
    const found = rowOf(tableOf('', row('it', formula, 'reactant', supply, typed, { planned: null })), 'it');
    return { ...found.taken, named: found.problems.map(({ code, where }) => `${code} ${where}`) };
  };

  it('a missing density leaves the mass of a weighed liquid its amount', () => {
    const byMass = problemsOf(neat(null), '5.0 g');
    expect(byMass.amount.state).toBe('known');
    expect(codesOf(byMass.volume)).toEqual(['missing-density']);
    const byVolume = problemsOf(neat(null), '5.0 mL');
    expect(codesOf(byVolume.amount)).toEqual(['missing-density']);
    expect(byVolume.named).toEqual(['missing-density rows.it.supply.density']);
  });
  it('a missing assay is never taken for 100 %', () => {
    const found = problemsOf(solid(null), '5.0 g');
    expect(codesOf(found.amount)).toEqual(['missing-assay']);
    expect(found.named).toEqual(['missing-assay rows.it.supply.assay']);
    const liquid = problemsOf(neat('0.81', null), '5.0 mL');
    expect(valueOf(liquid.mass)).toBeCloseTo(4.05, 6);
    expect(codesOf(liquid.amount)).toEqual(['missing-assay']);
  });
  it.each<[string, Supply, string]>([
    ['missing-strength', solution(null), 'rows.it.supply.strength'],
    ['missing-strength', molar(''), 'rows.it.supply.strength'],
    [
      'missing-neat-density',
      strength('volume-fraction', '70 % v/v', { neatDensity: null }),
      'rows.it.supply.strength.neatDensity',
    ],
    [
      'missing-equivalence-factor',
      strength('normality', '1 eq/L', { equivalenceFactor: null }),
      'rows.it.supply.strength.equivalenceFactor',
    ],
    [
      'missing-parts',
      strength('parts-by-volume', '12 mol/L', { stockParts: entered('1'), waterParts: null }),
      'rows.it.supply.strength.waterParts',
    ],
    [
      'constant-zero',
      strength('parts-by-volume', '12 mol/L', { stockParts: entered('0'), waterParts: entered('1') }),
      'rows.it.supply.strength.stockParts',
    ],
    ['missing-density', massFraction('36', null), 'rows.it.supply.strength.density'],
    [
      'missing-density',
      strength('molality', '1 mol/kg', { density: null }),
      'rows.it.supply.strength.density',
    ],
    [
      'missing-temperature',
      { kind: 'gas', temperature: null, pressure: entered('1 atm') },
      'rows.it.supply.temperature',
    ],
    [
      'missing-pressure',
      { kind: 'gas', temperature: entered('20 °C'), pressure: null },
      'rows.it.supply.pressure',
    ],
    ['oxygen-volumes-not-peroxide', strength('oxygen-volumes', '20 vol'), 'rows.it.supply.strength'],
  ])('%s', (code, supply, where) => {
    const found = problemsOf(supply, '5.0 mL');
    expect(codesOf(found.amount)).toContain(code);
    expect(found.named).toContain(`${code} ${where}`);
  });
  it('two missing things are both named', () => {
    expect(codesOf(problemsOf(neat(null, null), '5.0 mL').amount)).toEqual([
      'missing-density',
      'missing-assay',
    ]);
  });
  it('a formula’s fault keeps its position', () => {
    const found = rowOf(tableOf('', row('it', 'C6(H5', 'reactant', solid(), '1 g')), 'it');
    expect(found.problems[0]).toMatchObject({
      code: 'bracket-not-closed',
      where: 'rows.it.formula',
      position: 2,
    });
    expect(found.molarMass.state).toBe('blocked');
  });
  it('a solid by volume and a mol/L solution by mass say what to do instead', () => {
    expect(codesOf(problemsOf(solid(), '5 mL').amount)).toEqual(['solid-by-volume']);
    expect(codesOf(problemsOf(molar('2.0'), '5 g').amount)).toEqual(['mass-needs-density']);
  });
  it('drops have no volume', () => {
    const found = problemsOf(neat('0.81'), '5 drops');
    expect(found.volume.state).toBe('known');
    expect(codesOf(found.amount)).toEqual(['drops-need-volume']);
  });
  it.each([
    ['−2.00 g', 'quantity-out-of-range'],
    ['0.00 g', 'measure-zero'],
    ['2,00 g', 'number-comma'],
    ['5e9 g', 'quantity-out-of-range'],
    ['1e999 g', 'number-too-large'],
    ['NaN g', 'number-unreadable'],
    ['２.00 g', 'number-digits'],
    ['😀 g', 'number-unreadable'],
  ])('%s is refused as %s', (typed, code) => {
    const found = problemsOf(solid(), typed);
    expect(codesOf(found.amount)).toEqual([code]);
    expect(found.named).toEqual([`${code} rows.it.taken`]);
  });
  it('a unit that does not fit the cell is refused', () => {
    const wrong = { by: 'mass', entered: entered('5 mL'), instrument: null } as const;
    const found = rowOf(
      tableOf('', { ...row('it', 'C5H12O', 'reactant', solid(), null), taken: wrong }),
      'it',
    );
    expect(codesOf(found.taken.amount)).toEqual(['unit-does-not-fit']);
  });
  it('an assay a little over 100 % is what a titration gave; one of 150 % is refused at its field', () => {
    const of = (assay: string) =>
      codesOf(rowOf(tableOf('', row('it', 'C7H6O3', 'reagent', solid(assay), '2.00 g')), 'it').taken.amount);
    // Pharmacopoeial limits reach 104.5 % (iron(II) sulfate heptahydrate; from memory).
    expect(of('104.5 %')).toEqual([]);
    expect(of('150 %')).toEqual(['assay-too-high']);
  });
  it('an assay of 970 % or a density of 81 g/mL is refused at its field', () => {
    expect(problemsOf(massFraction('370', '1.18'), '5 mL').named).toContain(
      'quantity-out-of-range rows.it.supply.strength',
    );
    expect(problemsOf(neat('81'), '5 mL').named).toContain('quantity-out-of-range rows.it.supply.density');
    expect(problemsOf(neat('0'), '5 mL').named).toContain('quantity-zero rows.it.supply.density');
  });
  it('a solvent without density, assay or formula lacks nothing', () => {
    const found = rowOf(tableOf('', row('it', '', 'solvent', neat(null, null), '20 mL')), 'it');
    expect(found.problems).toEqual([]);
    expect(found.molarMass.state).toBe('none');
    expect(codesOf(found.taken.mass)).toEqual(['missing-density']);
  });
  it('an empty box counts as not measured', () => {
    const blank = { by: 'mass', entered: { text: '  ', unit: 'g' }, instrument: null } as const;
    const found = rowOf(
      tableOf('', { ...row('it', 'NaCl', 'reactant', solid(), null), taken: blank, planned: measure('1 g') }),
      'it',
    );
    expect(found.taken.amount.state).toBe('none');
    expect(found.problems).toEqual([]);
  });
});

describe('mistakes of the trade', () => {
  it('counts the water of a hydrate: 5.00 g of the pentahydrate are 20.03 mmol, not 31.33', () => {
    const supply = solid();
    expect(mmol('CuSO4·5H2O', supply, '5.00 g')).toBeCloseTo(20.03, 2);
    expect(mmol('CuSO4.5H2O', supply, '5.00 g')).toBeCloseTo(20.03, 2);
    expect(mmol('CuSO4', supply, '5.00 g')).toBeCloseTo(31.33, 2);
  });
  it('applies an assay once: 2.000 g of 97.0 % is 1.940 g', () => {
    expect(grams('C7H6O3', solid('97.0 %'), '2.000 g')).toBeCloseTo(1.94, 9);
    expect(grams('C7H6O3', neat('1.000', '97.0 %'), '2.000 mL')).toBeCloseTo(1.94, 9);
  });
  it('does not apply a density to a % w/v', () => {
    expect(grams('NaOH', massPerVolume('10.0'), '50.0 mL')).toBeCloseTo(5, 9);
  });
  it('takes both micro signs’ unit only as listed and grams from milligrams exactly', () => {
    expect(mmol('NaCl', solid(), '584.4 mg')).toBeCloseTo(10, 2);
    expect(mmol('NaCl', molar('1.000'), '250 µL')).toBeCloseTo(0.25, 9);
  });
});
