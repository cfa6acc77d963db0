import { describe, expect, it } from 'vitest';
import { atomEconomy, greenMetrics } from '../../../core/green/green-metrics.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import type { Cell, Measure, ReagentRow, RowRole, Supply } from '../../../core/reaction/table-types.ts';

const e = (text: string, unit: UnitSymbol) => ({ text, unit });
const grams = (text: string): Measure => ({ by: 'mass', entered: e(text, 'g'), instrument: null });
const solid: Supply = { kind: 'solid', assay: e('100', '%') };
const row = (
  id: string,
  formula: string,
  role: RowRole,
  taken: Measure | null,
  supply: Supply = solid,
): ReagentRow => ({
  id,
  name: id,
  formula,
  equationFormula: formula,
  unitsPerFormula: 1,
  compoundId: null,
  smiles: null,
  role,
  supply,
  planned: null,
  taken,
  remark: '',
});
const valueOf = (cell: Cell): number => (cell.state === 'known' ? cell.quantity.value : Number.NaN);
const weighed = (value: number): Quantity => ({
  value,
  unit: 'g',
  standardUncertainty: null,
  significantFigures: 3,
});

describe('atomEconomy', () => {
  it.each([
    [
      'acetylsalicylic acid',
      'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
      'C9H8O4',
      75.0,
      0.1,
      'computed; a published page prints 75 %',
    ],
    [
      'ethanol by fermentation',
      'C6H12O6 -> 2 C2H6O + 2 CO2',
      'C2H6O',
      51.1,
      0.1,
      'computed; printed as 50 % by over-rounding',
    ],
    ['ethanol from ethene', 'C2H4 + H2O -> C2H6O', 'C2H6O', 100, 1e-9, 'an addition loses nothing'],
    [
      'oxirane by the chlorohydrin route',
      'C2H4 + Cl2 + Ca(OH)2 -> C2H4O + CaCl2 + H2O',
      'C2H4O',
      25.5,
      0.1,
      'Sheldon’s example, printed as 25 % (from memory)',
    ],
    ['isopentyl acetate', 'C5H12O + C2H4O2 -> C7H14O2 + H2O', 'C7H14O2', 87.8, 0.1, 'computed'],
  ])('%s: %s', (_name, equation, product, expected, within) => {
    expect(Math.abs(valueOf(atomEconomy(equation, product)) - expected)).toBeLessThanOrEqual(within);
  });

  it('is blocked by an equation that cannot be balanced and by a product that is not in it', () => {
    expect(atomEconomy('CH4 + O2 -> CO2', 'CO2')).toMatchObject({
      state: 'blocked',
      problems: [{ code: 'green-unbalanced' }],
    });
    expect(atomEconomy('C2H4 + H2O -> C2H6O', 'CO2')).toMatchObject({
      state: 'blocked',
      problems: [{ code: 'product-not-in-equation' }],
    });
  });
});

describe('greenMetrics', () => {
  const equation = 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2';
  const rows = [
    row('salicylic acid', 'C7H6O3', 'reactant', grams('2.00')),
    row('acetic anhydride', 'C4H6O3', 'reactant', grams('5.41')),
    row('sulfuric acid', 'H2SO4', 'catalyst', grams('0.50')),
    row('water', 'H2O', 'work-up', grams('40')),
    row('acetylsalicylic acid', 'C9H8O4', 'product', null),
  ];
  const productRowId = 'acetylsalicylic acid';
  const table = computeTable({ equation, rows, productRowId });
  const metrics = greenMetrics({ equation, rows, table, productRowId, obtained: weighed(2.1) });

  // Computed from the definitions of Sheldon (2007), Constable et al. (2002) and Jiménez-González et al. (2011).
  it.each([
    ['processMassIntensity', 22.81],
    ['eFactor', 21.81],
    ['eFactorWithoutWater', 2.77],
    ['reactionMassEfficiency', 28.3],
  ] as const)('%s of an aspirin run is %d', (metric, expected) => {
    expect(Math.abs(valueOf(metrics[metric]) / expected - 1)).toBeLessThanOrEqual(0.002);
  });

  it('keeps PMI = E + 1 inside one boundary', () => {
    expect(valueOf(metrics.processMassIntensity)).toBeCloseTo(valueOf(metrics.eFactor) + 1, 12);
  });

  it('keeps RME = AE × yield ÷ stoichiometric excess (Constable, Curzons & Cunningham 2002)', () => {
    const theoretical = table.taken.theoreticalYield;
    const share = 2.1 / valueOf(theoretical);
    const [salicylic, anhydride] = [2.0 / 138.122, 5.41 / 102.089];
    const excess = (2.0 + 5.41) / (salicylic * (138.122 + 102.089));
    expect(anhydride).toBeGreaterThan(salicylic);
    const expected = (valueOf(metrics.atomEconomy) * share) / excess;
    expect(Math.abs(valueOf(metrics.reactionMassEfficiency) / expected - 1)).toBeLessThan(1e-4);
  });

  it('balances: what went in is product and waste', () => {
    const waste = metrics.waste.reduce((sum, { mass }) => sum + mass.value, 0);
    expect(waste + 2.1).toBeCloseTo(2.0 + 5.41 + 0.5 + 40, 9);
  });

  it('reproduces a printed esterification: 10.81 g + 21.9 g + 15 g + 500 g of solvent to 23.6 g (Constable et al., inputs from memory)', () => {
    const tosylation = [
      row('benzyl alcohol', 'C7H8O', 'reactant', grams('10.81')),
      row('tosyl chloride', 'C7H7ClO2S', 'reactant', grams('21.9')),
      row('triethylamine', 'C6H15N', 'reactant', grams('15')),
      row('toluene', 'C7H8', 'solvent', grams('500')),
      row('ester', 'C14H14O3S', 'product', null),
    ];
    const text = 'C7H8O + C7H7ClO2S + C6H15N -> C14H14O3S + C6H16NCl';
    const worked = greenMetrics({
      equation: text,
      rows: tosylation,
      table: computeTable({ equation: text, rows: tosylation, productRowId: 'ester' }),
      productRowId: 'ester',
      obtained: weighed(23.6),
    });
    expect(Math.abs(valueOf(worked.processMassIntensity) / 23.21 - 1)).toBeLessThan(0.005);
    expect(Math.abs(valueOf(worked.eFactor) / 22.21 - 1)).toBeLessThan(0.005);
    expect(Math.abs(valueOf(worked.reactionMassEfficiency) / 49.5 - 1)).toBeLessThan(0.005);
  });

  it('names the row whose mass is unknown instead of leaving it out', () => {
    const broken = rows.map((one): ReagentRow =>
      one.id === 'water'
        ? {
            ...one,
            taken: { by: 'volume', entered: e('40', 'mL'), instrument: null },
            supply: { kind: 'neat-liquid', density: null, densityTemperature: null, assay: null },
          }
        : one,
    );
    const worked = greenMetrics({
      equation,
      rows: broken,
      table: computeTable({ equation, rows: broken, productRowId }),
      productRowId,
      obtained: weighed(2.1),
    });
    expect(worked.eFactor).toMatchObject({
      state: 'blocked',
      problems: [{ code: 'mass-unknown', facts: { name: 'water' } }],
    });
  });
});
