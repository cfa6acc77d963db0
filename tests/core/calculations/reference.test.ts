import { describe, expect, it } from 'vitest';
import type { CalculationInputs } from '../../../core/calculations/calculation.ts';
import { calculationById, calculations } from '../../../core/calculations/index.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const q = (text: string, unit: UnitSymbol): Entered => ({ text, unit });
const openStax = 'OpenStax Chemistry 2e';
const balance = 'computed from the mass balance with the constants named in the working';

interface Row {
  readonly calculation: string;
  readonly what: string;
  readonly inputs: CalculationInputs;
  readonly working: string;
  readonly expected: number;
  readonly within: number;
  readonly source: string;
}

const benzoic = (points: readonly (readonly [string, string])[]) =>
  points.map(([t, s]) => ({ temperature: q(t, '°C'), solubility: q(s, 'g/L') }));

const rows: readonly Row[] = [
  {
    calculation: 'dilution',
    what: '1.59 M stock for 5.00 L of 0.100 M',
    inputs: { stock: q('1.59', 'mol/L'), target: q('0.100', 'mol/L'), volume: q('5.00', 'L') },
    working: 'stock-volume',
    expected: 314,
    within: 0.5,
    source: `${openStax}, Example 3.21`,
  },
  {
    calculation: 'dilution',
    what: '11 mL of 0.45 M diluted to 0.12 M, read backwards',
    inputs: { stock: q('0.45', 'mol/L'), target: q('0.12', 'mol/L'), volume: q('41.25', 'mL') },
    working: 'stock-volume',
    expected: 11,
    within: 0.01,
    source: `${openStax}, Example 3.20 (exact 41.25 mL)`,
  },
  {
    calculation: 'solution-from-solid',
    what: 'NaCl in 0.250 L of 5.30 M, not rounded on the way',
    inputs: {
      formula: 'NaCl',
      assay: q('100', '%'),
      concentration: q('5.30', 'mol/L'),
      volume: q('0.250', 'L'),
    },
    working: 'solid-mass',
    expected: 77.4,
    within: 0.05,
    source: `${openStax}, Example 3.17`,
  },
  {
    calculation: 'solution-from-solid',
    what: 'a hydrate: Na2SO4·10H2O in 18.60 L of 1.7521 mol/L',
    inputs: {
      formula: 'Na2SO4·10H2O',
      assay: q('100', '%'),
      concentration: q('1.7521', 'mol/L'),
      volume: q('18.60', 'L'),
    },
    working: 'solid-mass',
    expected: 10500,
    within: 3,
    source: `${openStax}, 3.3 exercises`,
  },
  {
    calculation: 'strength-in-other-units',
    what: '500 mL of 37.2 % HCl of 1.19 g/mL hold 221 g: g/L',
    inputs: {
      solute: 'hydrochloric-acid',
      formula: 'HCl',
      percent: q('37.2', '% w/w'),
      density: q('1.19', 'g/mL'),
    },
    working: 'mass-concentration',
    expected: 442.6,
    within: 0.5,
    source: `${openStax}, Example 3.23 (exact 221.3 g)`,
  },
  {
    calculation: 'strength-in-other-units',
    what: 'density from the table: 32 % HCl',
    inputs: { solute: 'hydrochloric-acid', formula: 'HCl', percent: q('32', '% w/w') },
    working: 'amount-concentration',
    expected: 10.17,
    within: 0.02,
    source: "Perry's Chemical Engineers' Handbook, table as reprinted",
  },
  {
    calculation: 'strength-in-other-units',
    what: 'sulfuric acid 96 %, 1.84 g/mL',
    inputs: {
      solute: 'sulfuric-acid',
      formula: 'H2SO4',
      percent: q('96', '% w/w'),
      density: q('1.84', 'g/mL'),
    },
    working: 'amount-concentration',
    expected: 18.0,
    within: 0.05,
    source: `${openStax}, appendix on commercial strengths`,
  },
  {
    calculation: 'strength-in-other-units',
    what: 'ammonia 28 %, 0.90 g/mL',
    inputs: { solute: 'ammonia', formula: 'NH3', percent: q('28', '% w/w'), density: q('0.90', 'g/mL') },
    working: 'amount-concentration',
    expected: 14.8,
    within: 0.05,
    source: `${openStax}, appendix on commercial strengths`,
  },
  {
    calculation: 'strength-in-other-units',
    what: 'phosphoric acid 85 %, 1.70 g/mL',
    inputs: {
      solute: 'phosphoric-acid',
      formula: 'H3PO4',
      percent: q('85', '% w/w'),
      density: q('1.70', 'g/mL'),
    },
    working: 'amount-concentration',
    expected: 14.7,
    within: 0.1,
    source: `${openStax}, appendix on commercial strengths`,
  },
  {
    calculation: 'strength-in-other-units',
    what: 'sodium hydroxide 50 %, 1.53 g/mL',
    inputs: {
      solute: 'sodium-hydroxide',
      formula: 'NaOH',
      percent: q('50', '% w/w'),
      density: q('1.53', 'g/mL'),
    },
    working: 'amount-concentration',
    expected: 19.1,
    within: 0.1,
    source: `${openStax}, appendix on commercial strengths`,
  },
  {
    calculation: 'solution-from-stock',
    what: '1.00 L of 2.00 mol/L HCl from 36 %, 1.18 g/mL',
    inputs: {
      solute: 'hydrochloric-acid',
      formula: 'HCl',
      percent: q('36', '% w/w'),
      density: q('1.18', 'g/mL'),
      target: q('2.00', 'mol/L'),
      volume: q('1.00', 'L'),
    },
    working: 'stock-volume',
    expected: 171.6,
    within: 0.2,
    source: `computed; strength from ${openStax}, appendix`,
  },
  {
    calculation: 'solution-from-stock',
    what: '250 mL of 3.0 mol/L H2SO4 from 96 %, 1.84 g/mL',
    inputs: {
      solute: 'sulfuric-acid',
      formula: 'H2SO4',
      percent: q('96', '% w/w'),
      density: q('1.84', 'g/mL'),
      target: q('3.0', 'mol/L'),
      volume: q('250', 'mL'),
    },
    working: 'stock-volume',
    expected: 41.6,
    within: 0.2,
    source: `computed; strength from ${openStax}, appendix`,
  },
  {
    calculation: 'mixing-two-strengths',
    what: '68.0 % HNO3 for 400.0 g of 10.0 %',
    inputs: {
      high: q('68.0', '% w/w'),
      low: q('0', '% w/w'),
      target: q('10.0', '% w/w'),
      mass: q('400.0', 'g'),
    },
    working: 'stronger-mass',
    expected: 58.8,
    within: 0.05,
    source: `${openStax}, 3.4 exercises`,
  },
  {
    calculation: 'mixing-two-strengths',
    what: '25 % from 70 % and water, not rounded on the way',
    inputs: { high: q('70', '% w/w'), low: q('0', '% w/w'), target: q('25', '% w/w'), mass: q('1000', 'g') },
    working: 'stronger-mass',
    expected: 357.1,
    within: 0.2,
    source: balance,
  },
  {
    calculation: 'mixing-two-strengths',
    what: '70 from 100 and 50',
    inputs: { high: q('100', '% w/w'), low: q('50', '% w/w'), target: q('70', '% w/w'), mass: q('20', 'g') },
    working: 'stronger-mass',
    expected: 8,
    within: 0.05,
    source: 'a usual exercise (8 + 12); common practice, no source',
  },
  {
    calculation: 'volume-on-mixing',
    what: '50 mL ethanol and 50 mL water make about 96 mL',
    inputs: {
      solute: 'ethanol',
      percent: q('100', '% w/w'),
      volume: q('50.0', 'mL'),
      water: q('50.0', 'mL'),
    },
    working: 'volume-of-mixture',
    expected: 96.4,
    within: 0.5,
    source: 'general chemistry teaching, about 96 mL (from memory)',
  },
  {
    calculation: 'ice-for-cooling',
    what: '250 g water, 80 to 10 °C, ice melting in',
    inputs: {
      mass: q('250', 'g'),
      specificHeat: q('4.184', 'J/(g K)'),
      from: q('80', '°C'),
      to: q('10', '°C'),
      place: 'inside',
    },
    working: 'ice-mass',
    expected: 195.0,
    within: 0.3,
    source: balance,
  },
  {
    calculation: 'ice-for-cooling',
    what: 'the same through the wall of the flask',
    inputs: {
      mass: q('250', 'g'),
      specificHeat: q('4.184', 'J/(g K)'),
      from: q('80', '°C'),
      to: q('10', '°C'),
      place: 'around',
    },
    working: 'ice-mass',
    expected: 219.5,
    within: 0.3,
    source: balance,
  },
  {
    calculation: 'freezing-mixture',
    what: '33 g of sodium chloride on 100 g of ice',
    inputs: { mixture: 'ice-sodium-chloride', ice: q('100', 'g') },
    working: 'salt-mass',
    expected: 33,
    within: 0.01,
    source: 'tables of freezing mixtures; common practice, no source',
  },
  {
    calculation: 'adiabatic-rise',
    what: '3.21 g NH4NO3 in 50.0 g water: 1.0 kJ taken up is 4.6 °C in 53.2 g',
    inputs: {
      amount: q('0.0401', 'mol'),
      heat: q('25.5', 'kJ/mol'),
      mass: q('53.2', 'g'),
      specificHeat: q('4.184', 'J/(g K)'),
    },
    working: 'temperature-rise',
    expected: 4.6,
    within: 0.05,
    source: `${openStax}, 5.2 (24.9 to 20.3 °C, sign reversed; 1.02 kJ over 0.0401 mol)`,
  },
  {
    calculation: 'extraction',
    what: 'K = 4, 50 mL with 50 mL at once',
    inputs: { partition: q('4', '1'), first: q('50', 'mL'), solvent: q('50', 'mL'), portions: q('1', '1') },
    working: 'left-behind',
    expected: 20.0,
    within: 0.05,
    source: 'partition law, computed',
  },
  {
    calculation: 'extraction',
    what: 'in two portions',
    inputs: { partition: q('4', '1'), first: q('50', 'mL'), solvent: q('50', 'mL'), portions: q('2', '1') },
    working: 'left-behind',
    expected: 11.1,
    within: 0.05,
    source: 'partition law, computed',
  },
  {
    calculation: 'extraction',
    what: 'in five portions',
    inputs: { partition: q('4', '1'), first: q('50', 'mL'), solvent: q('50', 'mL'), portions: q('5', '1') },
    working: 'left-behind',
    expected: 5.3,
    within: 0.05,
    source: 'partition law, computed',
  },
  {
    calculation: 'steam-distillation',
    what: 'oil of M 123.11 at 7.0 kPa, water 94.3 kPa',
    inputs: { oil: 'C6H5NO2', oilPressure: q('7.0', 'kPa'), waterPressure: q('94.3', 'kPa') },
    working: 'oil-to-water',
    expected: 0.51,
    within: 0.005,
    source: 'Dalton’s law, computed',
  },
  {
    calculation: 'recrystallisation',
    what: '1.00 g benzoic acid, 68 g/L hot, 3.4 g/L cold: volume',
    inputs: {
      mass: q('1.00', 'g'),
      solubility: benzoic([
        ['25', '3.4'],
        ['95', '68'],
      ]),
      hot: q('95', '°C'),
      cold: q('25', '°C'),
    },
    working: 'least-solvent',
    expected: 14.7,
    within: 0.05,
    source: 'a usual teaching exercise; common practice, no source',
  },
  {
    calculation: 'recrystallisation',
    what: 'the same: crystals',
    inputs: {
      mass: q('1.00', 'g'),
      solubility: benzoic([
        ['25', '3.4'],
        ['95', '68'],
      ]),
      hot: q('95', '°C'),
      cold: q('25', '°C'),
    },
    working: 'crystals',
    expected: 0.95,
    within: 0.002,
    source: 'a usual teaching exercise; common practice, no source',
  },
  {
    calculation: 'recrystallisation',
    what: '2.5 g acetanilide in 50 mL, 5.3 g/L at 0 °C',
    inputs: {
      mass: q('2.5', 'g'),
      solubility: benzoic([
        ['0', '5.3'],
        ['100', '55'],
      ]),
      hot: q('100', '°C'),
      cold: q('0', '°C'),
      volume: q('50', 'mL'),
    },
    working: 'best-recovery',
    expected: 89.4,
    within: 0.05,
    source: 'a usual teaching exercise; common practice, no source',
  },
  {
    calculation: 'recrystallisation',
    what: '3.00 g benzoic acid, 75 to 0 °C: least volume',
    inputs: {
      mass: q('3.00', 'g'),
      solubility: benzoic([
        ['0', '1.70'],
        ['75', '21.45'],
      ]),
      hot: q('75', '°C'),
      cold: q('0', '°C'),
    },
    working: 'least-solvent',
    expected: 139.9,
    within: 0.1,
    source: balance,
  },
  {
    calculation: 'recrystallisation',
    what: 'the same: loss',
    inputs: {
      mass: q('3.00', 'g'),
      solubility: benzoic([
        ['0', '1.70'],
        ['75', '21.45'],
      ]),
      hot: q('75', '°C'),
      cold: q('0', '°C'),
    },
    working: 'loss',
    expected: 0.238,
    within: 0.001,
    source: balance,
  },
  {
    calculation: 'recrystallisation',
    what: 'the same in 30 % more: recovery',
    inputs: {
      mass: q('3.00', 'g'),
      solubility: benzoic([
        ['0', '1.70'],
        ['75', '21.45'],
      ]),
      hot: q('75', '°C'),
      cold: q('0', '°C'),
      extra: q('30', '%'),
    },
    working: 'best-recovery',
    expected: 89.7,
    within: 0.1,
    source: balance,
  },
  {
    calculation: 'recrystallisation',
    what: 'volume too small: 3.00 g in 100 mL at 75 °C leaves a rest',
    inputs: {
      mass: q('3.00', 'g'),
      solubility: benzoic([
        ['0', '1.70'],
        ['75', '21.45'],
      ]),
      hot: q('75', '°C'),
      cold: q('0', '°C'),
      volume: q('100', 'mL'),
    },
    working: 'undissolved',
    expected: 0.855,
    within: 0.005,
    source: balance,
  },
  {
    calculation: 'recrystallisation',
    what: 'between two points: benzoic acid at 25 °C from 18 and 40 °C',
    inputs: {
      mass: q('1.00', 'g'),
      solubility: benzoic([
        ['18', '2.7'],
        ['40', '5.51'],
      ]),
      hot: q('40', '°C'),
      cold: q('25', '°C'),
    },
    working: 'solubility-cold',
    expected: 3.44,
    within: 0.05,
    source: 'tables of the solubility of benzoic acid in water, 3.44 g/L at 25 °C (from memory)',
  },
  {
    calculation: 'hydrate-crop',
    what: 'alum: 100 g water saturated at 60 °C cooled to 20 °C',
    inputs: {
      anhydrous: 'KAl(SO4)2',
      hydrate: 'KAl(SO4)2·12H2O',
      water: q('100', 'g'),
      hot: q('33.3', 'g'),
      cold: q('6.01', 'g'),
    },
    working: 'hydrate-mass',
    expected: 52.8,
    within: 0.1,
    source: `${balance}; ignoring the water of the crystals gives 50.1 g`,
  },
  {
    calculation: 'stem-correction',
    what: '240 °C, immersed to 60, stem at 50',
    inputs: { reading: q('240', '°C'), immersed: q('60', '°C'), stem: q('50', '°C'), liquid: 'mercury' },
    working: 'stem',
    expected: 5.47,
    within: 0.02,
    source: 'CRC Handbook, stem correction, K = 0.00016 (from memory)',
  },
  {
    calculation: 'stem-correction',
    what: '120 °C, 60 degrees outside, stem at 35',
    inputs: { reading: q('120', '°C'), immersed: q('60', '°C'), stem: q('35', '°C'), liquid: 'mercury' },
    working: 'stem',
    expected: 0.82,
    within: 0.01,
    source: 'CRC Handbook, stem correction, K = 0.00016 (from memory)',
  },
  {
    calculation: 'thermometer-calibration',
    what: 'line through four standards at 133.5',
    inputs: calculationById('thermometer-calibration')?.example ?? {},
    working: 'true-temperature',
    expected: 135.12,
    within: 0.005,
    source: 'ordinary least squares, computed independently',
  },
  {
    calculation: 'purity-from-melting',
    what: 'benzoic acid clear at 121.34 °C',
    inputs: {
      pure: q('122.34', '°C'),
      clear: q('121.34', '°C'),
      fusion: q('18.02', 'kJ/mol'),
      decomposes: 'no',
    },
    working: 'impurity',
    expected: 1.38,
    within: 0.02,
    source: 'Schröder–van ’t Hoff with CRC heat of fusion',
  },
  {
    calculation: 'purity-from-melting',
    what: 'benzoic acid clear at 119.34 °C',
    inputs: {
      pure: q('122.34', '°C'),
      clear: q('119.34', '°C'),
      fusion: q('18.02', 'kJ/mol'),
      decomposes: 'no',
    },
    working: 'impurity',
    expected: 4.1,
    within: 0.02,
    source: 'Schröder–van ’t Hoff with CRC heat of fusion',
  },
  {
    calculation: 'purity-from-melting',
    what: 'naphthalene clear at 78.22 °C',
    inputs: {
      pure: q('80.22', '°C'),
      clear: q('78.22', '°C'),
      fusion: q('19.01', 'kJ/mol'),
      decomposes: 'no',
    },
    working: 'impurity',
    expected: 3.62,
    within: 0.02,
    source: 'Schröder–van ’t Hoff with CRC heat of fusion',
  },
  {
    calculation: 'purity-from-melting',
    what: 'adipic acid clear at 149.0 °C',
    inputs: {
      pure: q('151.5', '°C'),
      clear: q('149.0', '°C'),
      fusion: q('36.3', 'kJ/mol'),
      decomposes: 'no',
    },
    working: 'impurity',
    expected: 5.91,
    within: 0.02,
    source: 'Schröder–van ’t Hoff with CRC heat of fusion',
  },
  {
    calculation: 'boiling-at-pressure',
    what: 'ethanol at 95.0 kPa',
    inputs: {
      normal: q('78.3', '°C'),
      normalPressure: q('101.325', 'kPa'),
      heat: q('38.6', 'kJ/mol'),
      pressure: q('95.0', 'kPa'),
    },
    working: 'boiling-point',
    expected: 76.6,
    within: 0.1,
    source: 'Clausius–Clapeyron, heat of vaporisation from memory',
  },
  {
    calculation: 'boiling-at-pressure',
    what: 'acetone boils at 25.0 °C under 30.3 kPa',
    inputs: {
      normal: q('56.5', '°C'),
      normalPressure: q('101.325', 'kPa'),
      heat: q('31.3', 'kJ/mol'),
      pressure: q('30.3', 'kPa'),
    },
    working: 'boiling-point',
    expected: 25.0,
    within: 0.1,
    source: `${openStax}, 10.3 (30.1 kPa printed, exact 30.3)`,
  },
  {
    calculation: 'boiling-near-normal',
    what: 'toluene read at 740 mmHg boils 0.92 °C low',
    inputs: { reading: q('109.7', '°C'), pressure: q('740', 'mmHg'), kind: 'plain' },
    working: 'pressure-correction',
    expected: 0.92,
    within: 0.005,
    source: 'Sydney Young’s rule (from memory)',
  },
  {
    calculation: 'refractive-index-20',
    what: 'isopentyl acetate read 1.3983 at 24.0 °C',
    inputs: { index: q('1.3983', '1'), temperature: q('24.0', '°C') },
    working: 'index-20',
    expected: 1.4001,
    within: 0.00005,
    source: 'linear correction; CRC value 1.4000',
  },
  {
    calculation: 'overall-yield',
    what: 'two stages multiply: 86.4 % and 80.5 %',
    inputs: { first: [{ yield: q('86.4', '%') }, { yield: q('80.5', '%') }], second: [], joint: [] },
    working: 'overall',
    expected: 69.552,
    within: 0.001,
    source: 'product of the two yields, computed',
  },
];

describe('calculations against published values', () => {
  it.each(rows)('$calculation: $what ($source)', ({ calculation, inputs, working, expected, within }) => {
    const outcome = calculationById(calculation)?.work(inputs);
    expect(outcome?.problems).toEqual([]);
    const found = outcome?.workings.find(({ id }) => id === working);
    expect(Math.abs((found?.result.value ?? Number.NaN) - expected)).toBeLessThanOrEqual(within);
  });
});

/** A print by its name, a calculation of one's own, or the admission that there is neither. */
const namedSource = /OpenStax|CRC|Perry|Sydney Young|comput|from memory|common practice, no source/u;

describe('the register of these checks', () => {
  it('names a source for every row, or says that there is none', () => {
    expect(rows.filter(({ source }) => !namedSource.test(source)).map(({ what }) => what)).toEqual([]);
    // Beside the library's, the instruments' and the textbooks' own files, which hold the rest of the 150.
    expect(rows.length).toBeGreaterThanOrEqual(40);
  });
});

describe('recrystallisation', () => {
  it('warns when the solubility is a line between points far apart (benzoic acid: 6.3 for a printed 5.5 g/L)', () => {
    const outcome = calculationById('recrystallisation')?.work({
      mass: q('1.00', 'g'),
      solubility: benzoic([
        ['25', '3.44'],
        ['75', '21.45'],
      ]),
      hot: q('75', '°C'),
      cold: q('40', '°C'),
    });
    expect(
      outcome?.statements
        .filter(({ tone }) => tone === 'doubt')
        .map(({ text }) => text)
        .join(),
    ).toContain('apart');
  });

  it('refuses a substance that is no less soluble in the cold', () => {
    const outcome = calculationById('recrystallisation')?.work({
      mass: q('1.00', 'g'),
      solubility: benzoic([
        ['32', '497'],
        ['100', '420'],
      ]),
      hot: q('100', '°C'),
      cold: q('32', '°C'),
    });
    expect(outcome?.problems.map(({ code }) => code)).toEqual(['not-less-soluble-cold']);
    expect(outcome?.answers).toEqual([]);
  });
});

describe('calculations', () => {
  it('each solves its own example without a problem and answers with a unit', () => {
    for (const calculation of calculations) {
      const outcome = calculation.work(calculation.example);
      expect(outcome.problems, calculation.id).toEqual([]);
      expect(outcome.answers.length, calculation.id).toBeGreaterThan(0);
      for (const id of outcome.answers) {
        const working = outcome.workings.find((one) => one.id === id);
        expect(working?.citation.length, `${calculation.id} ${id}`).toBeGreaterThan(5);
        expect(Number.isFinite(working?.result.value)).toBe(true);
      }
    }
  });

  it('have ids that differ, and labels on every field', () => {
    expect(new Set(calculations.map(({ id }) => id)).size).toBe(calculations.length);
    for (const { fields } of calculations) {
      expect(new Set(fields.map(({ key }) => key)).size).toBe(fields.length);
      for (const { label } of fields) expect(label).not.toBe('');
    }
  });
});
