import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import { scaleByFactor } from '../../../core/reaction/scale.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import { units } from '../../../core/quantity/unit.ts';
import { convert } from '../../../core/quantity/convert.ts';
import { instruments } from '../../../core/quantity/instruments.ts';
import type {
  Measure,
  ReagentRow,
  ReagentTable,
  RowRole,
  Strength,
  Supply,
} from '../../../core/reaction/table-types.ts';
import { readExpression } from '../../../core/workings/expression.ts';
import type { Working } from '../../../core/workings/working.ts';
import { all, create } from 'mathjs';
import { expectFinite } from './numbers-in.ts';

const unit = fc.constantFrom(...(Object.keys(units) as UnitSymbol[]));
const text = fc.oneof(
  fc.double({ min: 0, max: 1000, noNaN: true }).map((value) => value.toPrecision(4)),
  fc.constantFrom(
    '0',
    '0.00',
    '',
    ' ',
    '-1',
    '1e99',
    '1e-99',
    '1e999',
    'NaN',
    '∞',
    '2,5',
    '５',
    '😀',
    'مرحبا',
    '1.5×10⁻³',
    '100',
    '9'.repeat(70),
  ),
  fc.string({ maxLength: 12 }),
);
const entered: fc.Arbitrary<Entered> = fc.record({ text, unit });
const optional = fc.option(entered, { nil: null });
const inUnit = (...fit: readonly UnitSymbol[]): fc.Arbitrary<Entered> =>
  fc.oneof(
    { weight: 3, arbitrary: fc.record({ text, unit: fc.constantFrom(...fit) }) },
    { weight: 1, arbitrary: entered },
  );
const maybe = (...fit: readonly UnitSymbol[]) => fc.option(inUnit(...fit), { nil: null });
const wildStrength: fc.Arbitrary<Strength> = fc.oneof(
  fc.record({ kind: fc.constant('amount-concentration' as const), entered: inUnit('mol/L', 'mmol/L') }),
  fc.record({
    kind: fc.constant('mass-fraction' as const),
    entered: inUnit('% w/w', '%'),
    density: maybe('g/mL'),
  }),
  fc.record({ kind: fc.constant('mass-per-volume' as const), entered: inUnit('% w/v', 'g/L') }),
  fc.record({
    kind: fc.constant('volume-fraction' as const),
    entered: inUnit('% v/v'),
    neatDensity: maybe('g/mL'),
  }),
  fc.record({ kind: fc.constant('molality' as const), entered: inUnit('mol/kg'), density: maybe('g/mL') }),
  fc.record({
    kind: fc.constant('normality' as const),
    entered: inUnit('eq/L'),
    equivalenceFactor: maybe('eq/mol', '1'),
  }),
  fc.record({
    kind: fc.constant('parts-per-million' as const),
    entered: inUnit('ppm'),
    density: maybe('g/L', 'kg/m³'),
  }),
  fc.record({
    kind: fc.constant('parts-by-volume' as const),
    entered: inUnit('mol/L'),
    stockParts: maybe('1'),
    waterParts: maybe('1'),
  }),
  fc.record({ kind: fc.constant('oxygen-volumes' as const), entered: inUnit('vol') }),
);
/** With and without a density of the solution as a whole, for every kind. */
const strength: fc.Arbitrary<Strength> = fc
  .tuple(wildStrength, fc.option(maybe('g/mL'), { nil: undefined }), fc.option(optional, { nil: undefined }))
  .map(([its, density, densityTemperature]) => ({
    ...its,
    ...(density === undefined ? {} : { density }),
    ...(densityTemperature === undefined ? {} : { densityTemperature }),
  }));
const supply: fc.Arbitrary<Supply> = fc.oneof(
  fc.record({ kind: fc.constant('solid' as const), assay: maybe('%') }),
  fc.record({
    kind: fc.constant('neat-liquid' as const),
    density: maybe('g/mL'),
    densityTemperature: optional,
    assay: maybe('%', '% w/w'),
  }),
  fc.record({ kind: fc.constant('solution' as const), strength: fc.option(strength, { nil: null }) }),
  fc.record({
    kind: fc.constant('gas' as const),
    temperature: maybe('°C', 'K'),
    pressure: maybe('kPa', 'mmHg'),
  }),
);
const fitting = {
  mass: ['g', 'mg', 'kg'],
  volume: ['mL', 'L', 'µL', 'drops'],
  amount: ['mol', 'mmol'],
  equivalents: ['eq', '1'],
  'mole-percent': ['mol %', '%'],
} as const satisfies Record<Measure['by'], readonly UnitSymbol[]>;
const instrument = fc.option(fc.constantFrom(...instruments.map((one) => one.id), 'none such'), {
  nil: null,
});
/** Half of them in a unit that fits, so that the paths behind the parser are walked as well. */
const measure: fc.Arbitrary<Measure> = fc
  .constantFrom<Measure['by']>('mass', 'volume', 'amount', 'equivalents', 'mole-percent')
  .chain((by) =>
    fc.record({
      by: fc.constant(by),
      entered: fc.record({ text, unit: fc.oneof(fc.constantFrom<UnitSymbol>(...fitting[by]), unit) }),
      instrument,
    }),
  );
const role = fc.constantFrom<RowRole>(
  'reactant',
  'reagent',
  'catalyst',
  'solvent',
  'work-up',
  'drying-agent',
  'product',
  'by-product',
);
const formula = fc.constantFrom(
  'C7H6O3',
  'C4H6O3',
  'C9H8O4',
  'C2H4O2',
  'H2O2',
  'CuSO4·5H2O',
  'Na',
  '',
  'Xy',
  '((',
  '😀',
  'Tc',
);
const wildRow: fc.Arbitrary<ReagentRow> = fc.record({
  id: fc.constantFrom('a', 'b', 'c', 'd', 'e', ''),
  name: fc.string({ maxLength: 8 }),
  formula,
  equationFormula: formula,
  unitsPerFormula: fc.oneof(fc.constantFrom(1, 2, 3, 0.5), fc.double()),
  compoundId: fc.constant(null),
  smiles: fc.constant(null),
  origin: fc.constant(null),
  role,
  supply,
  planned: fc.option(measure, { nil: null }),
  taken: fc.option(measure, { nil: null }),
  remark: fc.constant(''),
});
const equation = fc.constantFrom(
  'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
  '2 Na + Cl2 -> 2 NaCl',
  '',
  'A + B',
  'KMnO4 + H2O2 + H2SO4 -> MnSO4 + K2SO4 + O2 + H2O',
  '😀',
);

/** A sound table: everything known, amounts of teaching size. */
const figure = (least: number, most: number): fc.Arbitrary<string> =>
  fc.double({ min: least, max: most, noNaN: true }).map((value) => value.toPrecision(4));
const soundSupply: fc.Arbitrary<Supply> = fc.oneof(
  figure(50, 100).map((assay): Supply => ({ kind: 'solid', assay: { text: assay, unit: '%' } })),
  fc.tuple(figure(0.6, 3), figure(50, 100)).map(([density, assay]): Supply => ({
    kind: 'neat-liquid',
    density: { text: density, unit: 'g/mL' },
    densityTemperature: null,
    assay: { text: assay, unit: '%' },
  })),
  fc.tuple(figure(0.1, 18), figure(0.8, 1.8)).map(([concentration, density]): Supply => ({
    kind: 'solution',
    strength: {
      kind: 'amount-concentration',
      entered: { text: concentration, unit: 'mol/L' },
      density: { text: density, unit: 'g/mL' },
    },
  })),
  fc.tuple(figure(5, 90), figure(0.8, 1.8)).map(([percent, density]): Supply => ({
    kind: 'solution',
    strength: {
      kind: 'mass-fraction',
      entered: { text: percent, unit: '% w/w' },
      density: { text: density, unit: 'g/mL' },
    },
  })),
);
const soundRow = (id: string, formulaText: string, roleName: RowRole): fc.Arbitrary<ReagentRow> =>
  fc.tuple(soundSupply, figure(0.5, 50), figure(0.5, 50)).map(([its, planned, taken]) => {
    const instrument = null;
    const of = (typed: string): Measure => ({ by: 'mass', entered: { text: typed, unit: 'g' }, instrument });
    return {
      id,
      name: id,
      formula: formulaText,
      equationFormula: formulaText,
      unitsPerFormula: 1,
      compoundId: null,
      smiles: null,
      origin: null,
      role: roleName,
      supply: its,
      planned: roleName === 'product' ? null : of(planned),
      taken: roleName === 'product' ? null : of(taken),
      remark: '',
    };
  });
const soundRows = fc.tuple(
  soundRow('acid', 'C7H6O3', 'reactant'),
  soundRow('anhydride', 'C4H6O3', 'reactant'),
  soundRow('base', 'NaOH', 'reagent'),
  soundRow('product', 'C9H8O4', 'product'),
);
const compute = (rows: readonly ReagentRow[]): ReagentTable =>
  computeTable({ equation: 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2', rows, productRowId: 'product' });

const math = create(all ?? {}, {});
/** The formula by another program's arithmetic, over the same terms. */
function recomputed(working: Working): number {
  const scope = Object.fromEntries(working.terms.map((term) => [term.key, term.quantity.value]));
  return math.evaluate(working.formula, scope) as number;
}

function* workingsOf(table: ReagentTable): Generator<Working> {
  for (const row of table.rows) {
    for (const cell of [
      row.molarMass,
      ...Object.values(row.planned),
      ...Object.values(row.taken),
      row.difference,
    ]) {
      if (cell.state === 'known' && cell.working !== null) yield cell.working;
    }
  }
  for (const side of [table.planned, table.taken]) {
    if (side.limiting.state === 'found') yield side.limiting.working;
    if (side.theoreticalYield.state === 'known' && side.theoreticalYield.working !== null)
      yield side.theoreticalYield.working;
  }
}

describe('the reagent table', () => {
  it('gives no NaN and no Infinity, and does not throw, whatever is typed', () => {
    fc.assert(
      fc.property(fc.array(wildRow, { maxLength: 6 }), equation, (rows, typed) => {
        const input = { equation: typed, rows, productRowId: 'a' };
        // What was typed may be NaN (unitsPerFormula); what is computed may not.
        expectFinite(computeTable(input));
        const scaled = scaleByFactor(rows, 1.7);
        if (scaled.ok) expectFinite(computeTable({ ...input, rows: scaled.value.rows }));
      }),
      { numRuns: 1500 },
    );
  });

  it('does not depend on the order of the rows', () => {
    fc.assert(
      fc.property(
        soundRows,
        fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4, maxLength: 4 }),
        (rows, order) => {
          const straight = compute(rows);
          const mixed = compute(order.map((index) => rows[index]!));
          for (const row of straight.rows) {
            const other = mixed.rows.find((one) => one.rowId === row.rowId)!;
            expect([other.coefficient, other.problems]).toEqual([row.coefficient, row.problems]);
            for (const side of ['planned', 'taken'] as const) {
              for (const key of ['mass', 'volume', 'amount', 'equivalents', 'excess'] as const) {
                const [a, b] = [row[side][key], other[side][key]];
                expect(b.state).toBe(a.state);
                if (a.state === 'known' && b.state === 'known') expect(b.quantity).toEqual(a.quantity);
              }
            }
          }
          for (const side of ['planned', 'taken'] as const) {
            const [a, b] = [straight[side].limiting, mixed[side].limiting];
            if (a.state !== 'found' || b.state !== 'found') throw new Error('no limiting reagent');
            expect({ ...b, working: null, extents: null }).toEqual({ ...a, working: null, extents: null });
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  it('is restored when a cell is edited and edited back', () => {
    fc.assert(
      fc.property(soundRows, figure(0.5, 50), (rows, other) => {
        const before = compute(rows);
        const [first, ...rest] = rows;
        const changed = {
          ...first,
          taken: { by: 'mass', entered: { text: other, unit: 'g' }, instrument: null },
        } as ReagentRow;
        compute([changed, ...rest]);
        const back = { ...changed, taken: first.taken };
        expect(compute([back, ...rest])).toEqual(before);
      }),
      { numRuns: 100 },
    );
  });

  it('scales linearly, to the rounding of what is measured out', () => {
    fc.assert(
      fc.property(soundRows, fc.double({ min: 0.1, max: 20, noNaN: true }), (rows, factor) => {
        const scaled = scaleByFactor(rows, factor);
        if (!scaled.ok) throw new Error(scaled.error.code);
        const before = compute(rows);
        const after = compute(scaled.value.rows);
        for (const [index, row] of before.rows.entries()) {
          const [a, b] = [row.planned.amount, after.rows[index]!.planned.amount];
          if (a.state !== 'known' || b.state !== 'known') throw new Error('blocked');
          // Each figure is rounded by at most half a per cent; the product follows the limiting one.
          const [first, second] = [a, b].map((cell) => convert(cell.quantity, 'mmol').value);
          expect(Math.abs(second! / (first! * factor) - 1)).toBeLessThan(0.0051);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('prints what it computed: every formula, evaluated by another program, gives the result', () => {
    fc.assert(
      fc.property(soundRows, (rows) => {
        for (const working of workingsOf(compute(rows))) {
          expect(readExpression(working.formula).names).toHaveLength(working.terms.length);
          const expected = recomputed(working);
          const { value } = working.result;
          expect(Math.abs(value - expected)).toBeLessThanOrEqual(1e-9 * Math.max(Math.abs(expected), 1e-12));
        }
      }),
      { numRuns: 60 },
    );
  });

  it('conserves mass: complete conversion of stoichiometric amounts gives as much product as was taken', () => {
    fc.assert(
      fc.property(figure(0.1, 10), (mol) => {
        const of = (id: string, formulaText: string, roleName: RowRole): ReagentRow => ({
          id,
          name: id,
          formula: formulaText,
          equationFormula: formulaText,
          unitsPerFormula: 1,
          compoundId: null,
          smiles: null,
          origin: null,
          role: roleName,
          supply: { kind: 'solid', assay: { text: '100', unit: '%' } },
          planned: null,
          taken:
            roleName === 'reactant'
              ? { by: 'amount', entered: { text: mol, unit: 'mol' }, instrument: null }
              : null,
          remark: '',
        });
        const table = compute([
          of('acid', 'C7H6O3', 'reactant'),
          of('anhydride', 'C4H6O3', 'reactant'),
          of('product', 'C9H8O4', 'product'),
          of('acetic-acid', 'C2H4O2', 'by-product'),
        ]);
        const [acid, anhydride, product, other] = table.rows.map(({ taken }) =>
          taken.mass.state === 'known' ? taken.mass.quantity.value : NaN,
        );
        expect(product! + other!).toBeCloseTo(acid! + anhydride!, 6);
      }),
      { numRuns: 50 },
    );
  });
});
