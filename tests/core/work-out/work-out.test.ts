import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import type { Sheet } from '../../../core/contract/sheet.ts';
import { sheetSchema } from '../../../core/contract/sheet.ts';
import type { WorkedSheet } from '../../../core/work-out/work-out.ts';
import { textTable } from '../../../core/work-out/text-table.ts';
import { workOutSheet } from '../../../core/work-out/work-out.ts';
import { workOut } from '../../../electron/cli/work-out.ts';
import { sheetJsonSchema } from '../../../electron/cli/work-out.ts';

const fixture = new URL('../../fixtures/sheets/acetylsalicylic-acid.json', import.meta.url);
const sheet = (): Sheet => v.parse(sheetSchema, JSON.parse(readFileSync(fixture, 'utf8')));

async function run(...args: string[]) {
  const printed: string[] = [];
  const complained: string[] = [];
  const code = await workOut(args, {
    print: (text) => printed.push(text),
    complain: (text) => complained.push(text),
  });
  return { code, printed: printed.join('\n'), complained: complained.join('\n') };
}

describe('workOutSheet', () => {
  // Computed from the 2021 abridged atomic weights: 14.48 mmol and 52.99 mmol, 3.66 eq; 2.609 g; 80.5 % for 2.1 g.
  it('works out the table, the limiting reagent and the yield', () => {
    const worked = workOutSheet(sheet());
    const [salicylic, anhydride] = worked.rows;
    expect(salicylic?.taken.amount?.value).toBeCloseTo(14.48, 2);
    expect(anhydride?.taken.amount?.value).toBeCloseTo(52.99, 2);
    expect(anhydride?.taken.equivalents?.value).toBeCloseTo(3.66, 2);
    expect(worked.taken.limiting).toMatchObject({ row: 'salicylic', isCertain: true, runnerUp: 'anhydride' });
    expect(worked.taken.theoreticalYield?.value).toBeCloseTo(2.609, 3);
    expect(worked.yields.pure?.value).toBeCloseTo(80.5, 1);
    expect(worked.green.atomEconomy?.text).toContain('75.0');
    expect(worked.calculations[0]?.answers['least-solvent']?.value).toBeCloseTo(139.9, 1);
    expect(worked.problems).toEqual([]);
  });

  it('works out counted drops whose size is given, with a working of its own, and shows the volume', () => {
    const worked = workOutSheet(
      v.parse(sheetSchema, {
        format: 'fairleaf-sheet/1',
        rows: [
          {
            id: 'acid',
            name: 'sulfuric acid',
            formula: 'H2SO4',
            role: 'catalyst',
            supply: { kind: 'neat-liquid', density: '1.840 g/mL', assay: '100 %' },
            taken: {
              by: 'volume',
              value: '5 drops',
              drop: { drops: '20 drops', make: '1.0 mL', uncertainty: '0.3 mL' },
            },
          },
        ],
      }),
    );
    expect(worked.problems.map(({ code }) => code)).toEqual(['equation-missing']);
    // 5 · 1.0 mL / 20; u by Monte Carlo (rectangular limits 1 drop and 0.3 mL) 0.052 mL
    expect(worked.rows[0]?.taken.volume?.text).toBe('(0.25 ± 0.05)\u2009mL');
    expect(worked.workings.map(({ title }) => title)).toContain(
      'Volume of sulfuric acid from its drops, taken',
    );
    expect(textTable(worked)).toContain('(0.25 ± 0.05)');
  });

  it('gives every answer its workings', () => {
    const ids = workOutSheet(sheet()).workings.map(({ id }) => id);
    expect(ids).toEqual(expect.arrayContaining(['molar-mass:C7H6O3', 'atom-economy', '1/least-solvent']));
  });

  it('scales the plan backwards: 5.0 g of product at a usual yield of 70 % need 7.14 g in theory', () => {
    const planned = (worked: WorkedSheet) => worked.planned.theoreticalYield?.value ?? Number.NaN;
    const full = sheet();
    const rows = (full.rows ?? []).map((row) => ({ ...row, planned: row.taken }));
    const before = workOutSheet({ ...full, rows });
    const worked = workOutSheet({
      ...full,
      rows,
      expectedYield: '70 %',
      scale: { to: 'product', mass: '5.0 g' },
    });
    // Arithmetic: 5.0 g / 0.70; amounts are rounded to what can be measured out, by at most half a per cent.
    expect(Math.abs(planned(worked) / (5 / 0.7) - 1)).toBeLessThan(0.0051);
    expect(worked.scaleFactor).toBeCloseTo(5 / 0.7 / planned(before), 9);
    expect(worked.workings.map(({ id }) => id)).toContain('scale-factor');
    expect(textTable(worked)).toContain('The plan times ');
    // No yield is assumed.
    const { expectedYield: _, ...open } = { ...full, rows, scale: { to: 'product', mass: '5.0 g' } as const };
    expect(workOutSheet(open).problems.map(({ code }) => code)).toContain('scale-yield-missing');
    const left = workOutSheet({
      ...full,
      rows,
      scale: { to: 'available', row: 'salicylic', quantity: '4.00 g' },
    });
    expect(left.rows.find(({ id }) => id === 'salicylic')?.planned.mass?.value).toBe(4);
    const doubled = workOutSheet({ ...full, rows, scale: { to: 'factor', factor: 2 } });
    expect(planned(doubled) / planned(before)).toBeCloseTo(2, 2);
    expect(workOutSheet({ ...full, rows, scale: { to: 'factor', factor: -1 } }).problems).toMatchObject([
      { code: 'scale-factor-unfit' },
    ]);
  });

  it('judges the constants of the product, as the entry does', () => {
    const worked = workOutSheet({
      ...sheet(),
      result: {
        meltingRange: { from: '134.0 °C', to: '135.5 °C' },
        boilingRange: { from: '139.0 °C', to: '141.0 °C', pressure: '101.3 kPa' },
        refractiveIndex: { value: '1.3983', temperature: '24.0 °C' },
      },
      literature: {
        // CRC Handbook of Chemistry and Physics, 95th ed.: acetylsalicylic acid, isopentyl acetate.
        meltingRange: { from: '136 °C', source: 'CRC Handbook' },
        boilingPoint: { value: '141.6 °C', source: 'CRC Handbook' },
        refractiveIndex: { value: '1.4000', temperature: '20 °C', source: 'CRC Handbook' },
      },
    });
    expect(worked.identity.map(({ property, state }) => `${property} ${state}`)).toEqual([
      'melting agrees',
      'boiling agrees',
      'refraction agrees',
    ]);
    expect(textTable(worked)).toContain('Refractive index\n  Corrected to 20');
    expect(workOutSheet({ ...sheet(), result: {} }).identity).toEqual([]);
    const odd = workOutSheet({
      ...sheet(),
      result: { meltingRange: { from: '134 furlongs', to: '135 °C' } },
    });
    expect(odd.problems.map(({ where }) => where)).toContain('result.meltingRange.from');
  });

  it('names what is missing in its row and goes on with the rest', () => {
    const full = sheet();
    const rows = (full.rows ?? []).map((row) =>
      row.id === 'anhydride' ? { ...row, supply: { kind: 'neat-liquid' as const } } : row,
    );
    const worked = workOutSheet({ ...full, rows });
    expect(worked.rows[0]?.taken.amount?.value).toBeCloseTo(14.48, 2);
    expect(worked.rows[1]?.taken.amount).toBeNull();
    const said = worked.problems.map(({ sentence }) => sentence).join(' ');
    expect(said).toMatch(/density/i);
    expect(said).not.toMatch(/\(missing|undefined/);
  });

  it('reads a mixture given by its parts', () => {
    const worked = workOutSheet(
      v.parse(sheetSchema, {
        format: 'fairleaf-sheet/1',
        rows: [
          {
            id: 'acid',
            name: '1 : 1 hydrochloric acid',
            formula: 'HCl',
            role: 'reagent',
            supply: {
              kind: 'solution',
              strength: { kind: 'parts-by-volume', value: '12.0 mol/L', stockParts: '1', waterParts: '1' },
            },
            taken: { by: 'volume', value: '10.0 mL' },
          },
        ],
      }),
    );
    // 10.0 mL of a mixture half as strong as 12.0 mol/L.
    expect(worked.rows[0]?.taken.amount?.value).toBeCloseTo(60, 9);
    expect(worked.problems.map(({ code }) => code)).toEqual(['equation-missing']);
  });

  it('multiplies the yields of linked preparations, and says what the waste still lacks', () => {
    const full = sheet();
    const rows = (full.rows ?? []).map((row) =>
      row.id === 'salicylic'
        ? { ...row, origin: { title: 'methyl salicylate hydrolysed', entryNumber: 4, yield: '80.0 %' } }
        : row,
    );
    const alkali = {
      id: 'alkali',
      name: 'sodium hydroxide solution',
      formula: 'NaOH',
      role: 'work-up' as const,
      supply: {
        kind: 'solution' as const,
        strength: { kind: 'amount-concentration' as const, value: '2.0 mol/L' },
      },
      taken: { by: 'volume' as const, value: '10.0 mL' },
    };
    const worked = workOutSheet({ ...full, rows: [...rows, alkali] });
    // 80.5 % of 80.0 %.
    expect(worked.overallYields).toMatchObject([
      { row: 'salicylic', stages: ['entry 4, methyl salicylate hydrolysed'] },
    ]);
    expect(worked.overallYields[0]?.yield?.value).toBeCloseTo(64.4, 1);
    // Without a density the mass of a solution is open, and what waits for it says so.
    const lacking = worked.problems.filter(({ code }) => code === 'solution-mass-unknown');
    expect(lacking.map(({ where }) => where)).toEqual(['rows.alkali.supply.strength.density']);
    const strength = { ...alkali.supply.strength, density: '1.08 g/mL', densityTemperature: '20 °C' };
    const dense = workOutSheet({
      ...full,
      rows: [...rows, { ...alkali, supply: { ...alkali.supply, strength } }],
    });
    const workUp = dense.waste.find(({ stream }) => stream === 'work-up liquids and solids');
    expect(workUp?.mass?.value).toBeCloseTo(10.8, 6);
  });

  it('says which quantity it cannot read, and which field does not exist', () => {
    const full = sheet();
    const worked = workOutSheet({
      ...full,
      result: { pure: { mass: '2.1 stones' } },
      calculations: [
        { calculation: 'dilution', inputs: { stok: '1 mol/L' } },
        { calculation: 'alchemy', inputs: {} },
      ],
    });
    const problems = Object.fromEntries(worked.problems.map(({ code, where }) => [code, where]));
    expect(problems).toMatchObject({
      'quantity-unreadable': 'result.pure.mass',
      'field-unknown': 'calculations.0.inputs.stok',
      'calculation-unknown': 'calculations.1',
    });
  });
});

describe('fairleaf work-out', () => {
  const path = fixture.pathname;

  it('prints JSON that reads back, and a table for people', async () => {
    const json = await run(path);
    expect(json.code).toBe(0);
    expect(JSON.parse(json.printed)).toMatchObject({ format: 'fairleaf-worked-sheet/1' });
    const table = await run(path, '--table');
    expect(table.printed).toMatch(/Limiting reagent: salicylic acid/);
    expect(table.printed).toMatch(/Theoretical yield: \(2\.609 ± 0\.013\)\u2009g/);
  });

  it('says what is wrong with a file, on the error side, with a code that is not zero', async () => {
    expect(await run('nowhere.json')).toMatchObject({ code: 1, printed: '' });
    expect((await run('nowhere.json')).complained).toContain('no such file');
    expect((await run(new URL('../../../README.md', import.meta.url).pathname)).complained).toContain(
      'not JSON',
    );
    expect(await run()).toMatchObject({ code: 2 });
    expect(await run(path, '--tabel')).toMatchObject({ code: 2 });
  });

  it('tells a formula that contradicts its structure, takes a missing one from it, and still works out the sheet', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'fairleaf-sheet-'));
    const file = join(folder, 'sheet.json');
    const of = (id: string, formula: object, smiles: string) => ({
      id,
      name: id,
      ...formula,
      smiles,
      role: 'reagent',
      taken: { by: 'mass', value: '1.000 g' },
    });
    const rows = [
      of('wrong', { formula: 'C9H8O4' }, 'OC(=O)c1ccccc1O'),
      of('taken', {}, 'CC(=O)OC(C)=O'),
      of('right', { formula: 'CH3CO2H' }, 'CC(=O)O'),
      of('broken', { formula: 'CH4' }, 'C1CC'),
    ];
    writeFileSync(file, JSON.stringify({ format: 'fairleaf-sheet/1', rows }));
    const { code, printed } = await run(file);
    rmSync(folder, { recursive: true });
    expect(code).toBe(0);
    const worked = JSON.parse(printed) as WorkedSheet;
    const told = worked.problems.map((one) => `${one.where} ${one.code}`);
    expect(told).toContain('rows.wrong.formula formula-contradicts-structure');
    expect(told).toContain('rows.broken.smiles structure-unreadable');
    const ofFormulas = told.filter((one) => /formula|structure/.test(one));
    expect(ofFormulas).toHaveLength(2);
    // Acetic anhydride, 102.09 g/mol (IUPAC 2021, abridged).
    expect(worked.rows[1]?.molarMass?.value).toBeCloseTo(102.09, 2);
    expect(worked.problems.find((one) => one.code === 'formula-contradicts-structure')?.sentence).toContain(
      'C7H6O3',
    );
  });

  it('has a JSON Schema that an independent validator accepts, and that accepts the sheet', () => {
    const validate = new Ajv2020({ strict: false }).compile(sheetJsonSchema() as object);
    const raw = JSON.parse(readFileSync(fixture, 'utf8')) as Record<string, unknown>;
    expect(validate(raw), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ ...raw, format: 'fairleaf-sheet/9' })).toBe(false);
    expect(validate({ ...raw, colour: 'green' })).toBe(false);
  });

  it('lists every calculation with its fields', async () => {
    const { printed } = await run('--list');
    expect(printed).toContain('recrystallisation');
    expect(printed).toContain('solubility: lines of temperature (°C), solubility (g/L)');
  });
});
