import { describe, expect, it } from 'vitest';
import * as v from 'valibot';
import { canonical } from '../../../core/record/canonical.ts';
import { entryContent } from '../../../core/contract/content-schema.ts';
import { differencesBetween } from '../../../core/record/differences.ts';
import { strengthText } from '../../../core/record/content-text.ts';
import type { Strength, Supply } from '../../../core/reaction/table-types.ts';
import { asStrength, supplyText, tidied } from '../../../renderer/draft/supply.ts';
import { templates } from '../../../core/templates/index.ts';
import { densityAt, densityTables } from '../../../core/calculations/density-tables.ts';
import { formulaMassFractions } from './solution-of-template.ts';
import { sampleContent } from '../record/sample-content.ts';
import { amountOf, codesOf, entered, row, rowOf, solution, tableOf, valueOf } from './make-table.ts';

const strength = (kind: Strength['kind'], typed: string, density: string | null, more: object = {}): Supply =>
  solution({
    kind,
    entered: entered(typed),
    ...(density === null ? {} : { density: entered(density), densityTemperature: entered('20 °C') }),
    ...more,
  } as Strength);
const one = (formula: string, supply: Supply, typed: string) =>
  tableOf('', row('it', formula, 'reagent', supply, typed));
/** Grams of the substance in what was weighed out. */
const gramsIn = (formula: string, supply: Supply, typed: string): number => {
  const table = one(formula, supply, typed);
  return (amountOf(table, 'it') / 1000) * valueOf(rowOf(table, 'it').molarMass);
};

// Each strength with a density, and the grams that 100 g of it hold: the two published columns of one line.
const lines: readonly (readonly [string, string, Supply, number])[] = [
  // CRC Handbook, concentrative properties: 10 % w/w, 1.1089 g/mL, 2.772 mol/L.
  ['mol/L', 'NaOH', strength('amount-concentration', '2.772 mol/L', '1.1089 g/mL'), 10],
  // Perry's Handbook: 38 % w/w, 1.189 g/mL, 12.39 mol/L.
  ['mol/L, concentrated', 'HCl', strength('amount-concentration', '12.39 mol/L', '1.189 g/mL'), 38],
  // The same line of the CRC table as grams in 100 mL: 10 % × 1.1089.
  ['% w/v', 'NaOH', strength('mass-per-volume', '11.089 % w/v', '1.1089 g/mL'), 10],
  // OpenStax Chemistry 2e, appendix: 96 % w/w, 1.84 g/mL, 18.0 mol/L, so 36.0 eq/L.
  [
    'normality',
    'H2SO4',
    strength('normality', '36.0 eq/L', '1.84 g/mL', { equivalenceFactor: entered('2 eq/mol') }),
    96,
  ],
  // Alcohol tables at 20 °C: 96 % v/v is 93.8 % w/w at 0.807 g/mL (OIML R 22, from memory); pure 0.7893: CRC.
  [
    '% v/v',
    'C2H6O',
    strength('volume-fraction', '96.0 % v/v', '0.807 g/mL', { neatDensity: entered('0.7893 g/mL') }),
    93.8,
  ],
  // 20 volumes are 6.07 % w/v (pharmacopoeial usage, from memory), at 1.02 g/mL 5.95 % w/w.
  ['volumes of oxygen', 'H2O2', strength('oxygen-volumes', '20.0 vol', '1.020 g/mL'), 5.95],
  // Half of Perry's 12.39 mol/L by volume: 6.195 mol/L; 20 % w/w acid has 1.098 g/mL (from memory) and 6.02.
  [
    'x : y',
    'HCl',
    strength('parts-by-volume', '12.39 mol/L', '1.101 g/mL', {
      stockParts: entered('1 1'),
      waterParts: entered('1 1'),
    }),
    20.5,
  ],
];

describe('a solution of any strength with a density', () => {
  it.each(lines)('%s: 100 g of %s hold what the published line says', (_, formula, supply, grams) => {
    expect(Math.abs(gramsIn(formula, supply, '100.0 g') - grams)).toBeLessThan(0.005 * grams);
  });

  it.each(lines)(
    '%s: mass and volume follow from each other and from the amount, both ways',
    (_, formula, supply) => {
      const { taken } = rowOf(one(formula, supply, '25.00 g'), 'it');
      const amount = amountOf(one(formula, supply, '25.00 g'), 'it') / 1000;
      const byVolume = rowOf(one(formula, supply, `${valueOf(taken.volume)} mL`), 'it').taken;
      expect(valueOf(byVolume.mass)).toBeCloseTo(25, 9);
      const byAmount = rowOf(one(formula, supply, `${amount} mol`), 'it').taken;
      expect(valueOf(byAmount.mass)).toBeCloseTo(25, 9);
      expect(valueOf(byAmount.volume)).toBeCloseTo(valueOf(taken.volume), 9);
    },
  );

  it('carries the uncertainty of density, strength and balance into the amount, each once', () => {
    const supply = strength('amount-concentration', '1.00 mol/L', '1.040 g/mL');
    const table = tableOf(
      '',
      row('it', 'NaOH', 'reagent', supply, '10.00 g', { instrument: 'balance-0.01' }),
    );
    const { amount } = rowOf(table, 'it').taken;
    if (amount.state !== 'known') throw new Error(amount.state);
    // JCGM 100:2008, 5.1.6 and F.2.2.1: half steps 0.005/√3 of 1.00 and 0.0005/√3 of 1.040, two readings of 0.01/√3 g.
    const relative = Math.hypot(0.002887 / 1, 0.0002887 / 1.04, 0.008165 / 10);
    expect((amount.quantity.standardUncertainty ?? 0) / amount.quantity.value).toBeCloseTo(relative, 5);
    expect(amount.working?.notes.join(' ')).toContain('Density at 20 °C');
    expect(amount.working?.terms.map(({ symbol }) => symbol)).toContain('ρ_{sol}');
  });

  it('without a density only the weighing lacks it, at its box; by volume nothing is missing', () => {
    const bare = strength('amount-concentration', '2.00 mol/L', null);
    const weighed = rowOf(one('NaOH', bare, '10.0 g'), 'it');
    expect(codesOf(weighed.taken.amount)).toEqual(['mass-needs-density']);
    expect(weighed.problems.map(({ where }) => where)).toEqual(['rows.it.supply.strength.density']);
    const measured = rowOf(one('NaOH', bare, '10.0 mL'), 'it');
    expect(measured.problems).toEqual([]);
    expect(measured.taken.mass.state).toBe('none');
    expect(valueOf(measured.taken.amount)).toBeCloseTo(20, 9);
  });

  it('a density that cannot be is refused at its box and leaves the amount by volume', () => {
    const { taken, problems } = rowOf(
      one('NaOH', strength('amount-concentration', '2.00 mol/L', '81 g/mL'), '10.0 mL'),
      'it',
    );
    expect(problems.map(({ where }) => where)).toEqual(['rows.it.supply.strength.density']);
    expect(valueOf(taken.amount)).toBeCloseTo(20, 9);
    expect(taken.mass.state).toBe('blocked');
  });

  it('says when the temperature of the density was not entered', () => {
    const supply = solution({
      kind: 'mass-per-volume',
      entered: entered('10.0 % w/v'),
      density: entered('1.10 g/mL'),
    });
    const { amount } = rowOf(one('NaOH', supply, '10.0 g'), 'it').taken;
    expect(amount.state === 'known' && amount.working?.notes.join(' ')).toContain('was not entered');
  });
});

describe('entries from before solutions had a density', () => {
  const content = sampleContent();
  const [first, ...rest] = content.rows as [
    (typeof content.rows)[number],
    ...(typeof content.rows)[number][],
  ];
  const withStrength = (its: object) => ({
    ...content,
    rows: [{ ...first, supply: { kind: 'solution' as const, strength: its as Strength } }, ...rest],
  });
  const before = withStrength({ kind: 'amount-concentration', entered: { text: '2.0', unit: 'mol/L' } });
  const dense = { text: '1.07', unit: 'g/mL' as const };
  const now = withStrength({
    kind: 'amount-concentration',
    entered: { text: '2.0', unit: 'mol/L' },
    density: dense,
    densityTemperature: { text: '20', unit: '°C' },
  });

  it('are read with their bytes unchanged: nothing is filled in', () => {
    expect(canonical(v.parse(entryContent, before))).toBe(canonical(before));
    expect(canonical(v.parse(entryContent, now))).toBe(canonical(now));
  });

  it('differ from a version with a density, in words', () => {
    expect(differencesBetween(before, now)).toMatchObject([
      {
        path: `rows.${first.id}.supply`,
        old: 'solution, 2.0 mol/L',
        new: 'solution, 2.0 mol/L, density 1.07 g/mL at 20 °C',
      },
    ]);
  });

  it('get their bytes back when a density is typed and taken out again', () => {
    const typed = {
      kind: 'amount-concentration',
      entered: { text: '2.0', unit: 'mol/L' },
      density: null,
    } as const;
    expect(tidied(typed)).toEqual({ kind: 'amount-concentration', entered: { text: '2.0', unit: 'mol/L' } });
    // A strength by mass always said whether it had one.
    const byMass = { kind: 'mass-fraction', entered: { text: '37', unit: '% w/w' }, density: null } as const;
    expect(tidied(byMass)).toEqual(byMass);
  });
});

describe('the words for a density', () => {
  const dense = { density: entered('1.07 g/mL'), densityTemperature: entered('20 °C') };
  it('stand in the row, the page and the differences', () => {
    const supply = strength('amount-concentration', '4.0 mol/L', '1.07 g/mL');
    expect(supplyText(supply).replaceAll(/[\u00a0\u202f]/g, ' ')).toBe(
      'solution, 4.0 mol/L, 1.07 g/mL at 20 °C',
    );
    const parts = { kind: 'parts-by-volume', entered: entered('12 mol/L') } as const;
    const counted = { ...parts, stockParts: entered('1 1'), waterParts: entered('1 1'), ...dense };
    expect(strengthText(counted)).toBe('1 : 1 by volume of 12 mol/L with water, density 1.07 g/mL at 20 °C');
    const spirit = { kind: 'volume-fraction', entered: entered('96 % v/v'), neatDensity: null } as const;
    expect(strengthText({ ...spirit, ...dense })).toContain('density of the mixture 1.07 g/mL at 20 °C');
  });
  it('move along when the label is read in another way', () => {
    const before = { kind: 'amount-concentration', entered: entered('4.0 mol/L'), ...dense } as const;
    expect(asStrength(before, 'mass-fraction')).toMatchObject(dense);
    expect(asStrength(before, 'volume-fraction')).toMatchObject({ ...dense, neatDensity: null });
    expect(asStrength(null, 'oxygen-volumes')).toEqual({
      kind: 'oxygen-volumes',
      entered: { text: '', unit: 'vol' },
    });
  });
});

describe('the densities that templates give', () => {
  const rows = templates.flatMap(({ id, content }) => content.rows.map((its) => [id, its] as const));
  it('are there for every solution, so that no mass is left open', () => {
    for (const [id, { supply, name }] of rows) {
      if (supply.kind === 'solution') expect(supply.strength?.density, `${id}: ${name}`).toBeTruthy();
    }
  });
  it('agree with the published density tables to 0.006 g/mL where there is one', () => {
    let compared = 0;
    for (const [, its] of rows) {
      const found = formulaMassFractions(its);
      const table = densityTables.find(({ formula }) => formula === its.formula);
      if (found === null || table === undefined) continue;
      const looked = densityAt(table, found.percent, '');
      if (!looked.ok) continue;
      compared += 1;
      expect(Math.abs(looked.value.value - found.densityGPerMl), its.name).toBeLessThan(0.006);
    }
    expect(compared).toBeGreaterThanOrEqual(12);
  });
});
