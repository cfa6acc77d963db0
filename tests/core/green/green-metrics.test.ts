import { describe, expect, it } from 'vitest';
import { atomEconomy, greenMetrics, obtainedProduct } from '../../../core/green/green-metrics.ts';
import type { Obtained } from '../../../core/green/green-metrics.ts';
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
  origin: null,
  role,
  supply,
  planned: null,
  taken,
  remark: '',
});
const valueOf = (cell: Cell): number => (cell.state === 'known' ? cell.quantity.value : Number.NaN);
const weighing = (text: string | null) => ({ mass: text === null ? null : e(text, 'g'), instrument: null });
const weighed = (text: string): Obtained => obtainedProduct({ crude: weighing(null), pure: weighing(text) });

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
  const metrics = greenMetrics({ equation, rows, table, productRowId, obtained: weighed('2.10') });

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
    const waste = metrics.waste.reduce((sum, { mass }) => sum + valueOf(mass), 0);
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
      obtained: weighed('23.6'),
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
      obtained: weighed('2.10'),
    });
    expect(worked.eFactor).toMatchObject({
      state: 'blocked',
      problems: [{ code: 'mass-unknown', facts: { name: 'water' } }],
    });
  });

  describe('with a solution among the rows', () => {
    const litres: Measure = { by: 'volume', entered: e('25.0', 'mL'), instrument: null };
    const text = 'C8H8O2 + NaOH -> C7H5O2Na + CH4O';
    const alkali = (more: object): Supply => ({
      kind: 'solution',
      strength: { kind: 'amount-concentration', entered: e('2.00', 'mol/L'), ...more },
    });
    const hydrolysis = (supply: Supply) => {
      const list = [
        row('ester', 'C8H8O2', 'reactant', grams('3.00')),
        row('alkali', 'NaOH', 'reactant', litres, supply),
        row('salt', 'C7H5O2Na', 'product', null),
      ];
      return greenMetrics({
        equation: text,
        rows: list,
        table: computeTable({ equation: text, rows: list, productRowId: 'salt' }),
        productRowId: 'salt',
        obtained: weighed('2.50'),
      });
    };

    it('assumes no density: what counts the whole waits for it by name, what counts the solute does not', () => {
      const worked = hydrolysis(alkali({}));
      for (const cell of [worked.eFactor, worked.processMassIntensity, worked.waste[0]?.mass]) {
        expect(cell).toMatchObject({
          state: 'blocked',
          problems: [
            {
              code: 'solution-mass-unknown',
              where: 'rows.alkali.supply.strength.density',
              facts: { name: 'alkali' },
            },
          ],
        });
      }
      expect(worked.assumptions).toEqual([]);
      // 25.0 mL of 2.00 mol/L is 50.0 mmol, 2.00 g of NaOH (39.997 g/mol).
      expect(valueOf(worked.reactionMassEfficiency)).toBeCloseTo((100 * 2.5) / (3 + 0.05 * 39.997), 3);
      expect(valueOf(worked.eFactorWithoutWater)).toBeCloseTo((3 + 0.05 * 39.997 - 2.5) / 2.5, 4);
      expect(worked.workings.map(({ id }) => id)).toContain('dissolved:alkali');
    });

    it('counts it whole once the density is there: 25.0 mL of 1.08 g/mL weigh 27.0 g', () => {
      const worked = hydrolysis(alkali({ density: e('1.08', 'g/mL') }));
      expect(valueOf(worked.eFactor)).toBeCloseTo((3 + 27 - 2.5) / 2.5, 6);
      expect(valueOf(worked.processMassIntensity)).toBeCloseTo(30 / 2.5, 6);
      // The solute alone still counts where the metric leaves water out.
      expect(valueOf(worked.eFactorWithoutWater)).toBeCloseTo((3 + 0.05 * 39.997 - 2.5) / 2.5, 4);
    });
  });

  it('counts crystals of a hydrate as they stand in the equation where water does not count', () => {
    // 12.5 mmol H₂SO₄ and 24.0 mmol NaOH give 3.00 g Na₂SO₄·10H₂O; by hand with IUPAC 2021 weights:
    // 3.00 · 142.04/322.19 = 1.3226 g Na₂SO₄ out of 1.2259 + 0.9599 = 2.1858 g
    const list = [
      row('sulfuric acid', 'H2SO4', 'reactant', grams('1.2259')),
      row('sodium hydroxide', 'NaOH', 'reactant', grams('0.9599')),
      row('water', 'H2O', 'solvent', grams('40.00')),
      { ...row('sodium sulfate', 'Na2SO4·10H2O', 'product', null), equationFormula: 'Na2SO4' },
    ];
    const salt = 'H2SO4 + 2 NaOH -> Na2SO4 + 2 H2O';
    const worked = greenMetrics({
      equation: salt,
      rows: list,
      table: computeTable({ equation: salt, rows: list, productRowId: 'sodium sulfate' }),
      productRowId: 'sodium sulfate',
      obtained: weighed('3.00'),
    });
    expect(valueOf(worked.reactionMassEfficiency)).toBeCloseTo(60.51, 1);
    expect(valueOf(worked.eFactorWithoutWater)).toBeCloseTo(0.6527, 3);
    // Whole masses, water counted: (42.1858 − 3.00) / 3.00
    expect(valueOf(worked.eFactor)).toBeCloseTo(13.06, 2);
    expect(worked.workings.map(({ id }) => id)).toContain('product-in-equation');
  });

  it('leaves out what was taken in drops and says so', () => {
    const drops: Measure = { by: 'volume', entered: e('2', 'drops'), instrument: null };
    const neat: Supply = {
      kind: 'neat-liquid',
      density: e('1.84', 'g/mL'),
      densityTemperature: null,
      assay: null,
    };
    const list = [...rows, row('indicator', 'C20H14O4', 'work-up', drops, neat)];
    const worked = greenMetrics({
      equation,
      rows: list,
      table: computeTable({ equation, rows: list, productRowId }),
      productRowId,
      obtained: weighed('2.10'),
    });
    expect(valueOf(worked.eFactor)).toBeCloseTo(valueOf(metrics.eFactor), 12);
    expect(worked.assumptions).toEqual(['indicator was taken in drops and is left out.']);
  });

  it('counts a reagent of the equation as a reactant, and a solution by its solute whatever the bottle brings', () => {
    const water: Supply = {
      kind: 'solution',
      strength: { kind: 'mass-per-volume', entered: e('10.0', '% w/v') },
    };
    const rowsOf = (units: number) => [
      row('alcohol', 'C6H12O', 'reactant', grams('2.00')),
      {
        ...row(
          'oxidant',
          'NaClO',
          'reagent',
          { by: 'volume', entered: e('20.0', 'mL'), instrument: null },
          water,
        ),
        unitsPerFormula: units,
      },
      row('ketone', 'C6H10O', 'product', null),
    ];
    const text = 'C6H12O + NaClO -> C6H10O + NaCl + H2O';
    const efficiency = (units: number): number => {
      const list = rowsOf(units);
      const metricsOf = greenMetrics({
        equation: text,
        rows: list,
        table: computeTable({ equation: text, rows: list, productRowId: 'ketone' }),
        productRowId: 'ketone',
        obtained: weighed('1.50'),
      });
      return valueOf(metricsOf.reactionMassEfficiency);
    };
    // 20.0 mL of 10.0 % w/v holds 2.00 g.
    expect(efficiency(1)).toBeCloseTo(37.5, 9);
    expect(efficiency(2)).toBeCloseTo(37.5, 9);
  });

  it('leaves a stream of waste open rather than too small, and questions a product heavier than its reactants', () => {
    const unweighed = greenMetrics({
      equation,
      rows,
      table,
      productRowId,
      obtained: obtainedProduct({ crude: weighing(null), pure: weighing(null) }),
    });
    const [chemistry, workUp] = unweighed.waste;
    expect(chemistry?.mass).toMatchObject({ state: 'blocked', problems: [{ code: 'product-not-weighed' }] });
    expect(workUp).toMatchObject({
      stream: 'work-up liquids and solids',
      mass: { state: 'known', quantity: { value: 40 } },
    });
    const heavy = greenMetrics({ equation, rows, table, productRowId, obtained: weighed('9.00') });
    expect(heavy.waste[0]?.mass).toMatchObject({ problems: [{ code: 'product-outweighs-reactants' }] });
  });
});

describe('obtainedProduct', () => {
  it('takes the pure product, and the crude one only while nothing pure is written', () => {
    const of = (crude: string | null, pure: string | null) =>
      obtainedProduct({ crude: weighing(crude), pure: weighing(pure) });
    expect(of('2.4', '2.1')).toMatchObject({ stage: 'pure', mass: { value: 2.1 } });
    expect(of('2.4', null)).toMatchObject({ stage: 'crude', mass: { value: 2.4 } });
    expect(of('2.4', ' ')).toMatchObject({ stage: 'crude' });
    expect(of(null, null)).toMatchObject({ problem: { code: 'product-not-weighed' } });
  });

  it('does not fall back on the crude mass when the pure one is wrong', () => {
    const of = (pure: string) => obtainedProduct({ crude: weighing('2.4'), pure: weighing(pure) });
    expect(of('2,1')).toMatchObject({ state: 'unknown', problem: { where: 'result.pure.mass' } });
    expect(of('0.000')).toMatchObject({ state: 'unknown', problem: { code: 'product-not-weighed' } });
    expect(of('NaN')).toMatchObject({ state: 'unknown' });
  });
});
