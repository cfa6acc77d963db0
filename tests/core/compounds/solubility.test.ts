import { describe, expect, it } from 'vitest';
import { inWater } from '../../../core/compounds/aqueous-solubility.ts';
import { gramsIn100g } from '../../../core/compounds/grams-in-100-g.ts';
import { compoundById, compounds } from '../../../core/compounds/index.ts';

/** Grams in 100 g of water, from the mass percent of the saturated solution. */
function in100g(id: string, at: string): number {
  const points = compoundById(id)?.solubilities.find(({ solvent }) => solvent === 'water')?.points ?? [];
  const point = points.find(({ temperature }) => temperature.text === at);
  if (point?.solubility.unit !== '% w/w') throw new Error(`${id} ${at}`);
  const percent = Number(point.solubility.text);
  return (100 * percent) / (100 - percent);
}

describe('solubilities in water', () => {
  // 24.2 g in 100 g of solution stand beside 75.8 g of water.
  it('are told for 100 g of water, to the figures printed', () => {
    expect(gramsIn100g({ text: '24.2', unit: '% w/w' })).toBe('31.9');
    expect(gramsIn100g({ text: '50.0', unit: '% w/w' })).toBe('100');
    expect(gramsIn100g({ text: '0.174', unit: '% w/w' })).toBe('0.174');
    expect(gramsIn100g({ text: '90.3', unit: '% w/w' })).toBe('931');
    for (const text of ['100', '120', '0', '-3', 'much']) {
      expect(gramsIn100g({ text, unit: '% w/w' }), text).toBeNull();
    }
    expect(gramsIn100g({ text: '5.3', unit: 'g/L' })).toBeNull();
  });

  it('leave a gap where the table has one', () => {
    const [solvent, points, source, note, unit] = inWater(
      '– – 16.13 29.22 32.35 30.9 30.02 29.67',
      'hydrate',
    );
    expect([solvent, source, unit]).toEqual(['water', 'crc-aqueous', '% w/w']);
    expect(points[0]).toEqual(['20', '16.13']);
    expect(points.at(-1)).toEqual(['100', '29.67']);
    expect(note).toContain('anhydrous');
  });

  it('cover the salts of a teaching laboratory', () => {
    const withWater = compounds.filter(({ solubilities }) =>
      solubilities.some(({ solvent }) => solvent === 'water'),
    );
    expect(withWater.length).toBeGreaterThanOrEqual(60);
  });

  it('rise from point to point in temperature, and hold less than all of the mass', () => {
    for (const { id, solubilities } of compounds) {
      for (const { points } of solubilities) {
        const at = points.map(({ temperature }) => Number(temperature.text));
        expect(at, id).toEqual(at.toSorted((a, b) => a - b));
        expect(new Set(at).size, id).toBe(at.length);
        expect(points.length, id).toBeGreaterThanOrEqual(2);
        for (const { solubility } of points) {
          expect(Number(solubility.text), id).toBeGreaterThan(0);
          if (solubility.unit === '% w/w') expect(Number(solubility.text), id).toBeLessThan(95);
        }
      }
    }
  });

  // Grams in 100 g of water at 0, 20, 40, 60, 80 and 100 °C by a second table (chart read for teaching, two
  // or three figures; ammonium chloride from a supplier's table with four): agreement to 7 %.
  it.each([
    ['potassium-nitrate', [13, 32, 63, 110, 170, 245]],
    ['sodium-nitrate', [74, 88, 105, 124, 148, 180]],
    ['ammonium-chloride', [29.7, 37.56, 46, 55.3, 65.6, 77.3]],
    ['sodium-chloride', [36, 36, 37, 39, 40, 39]],
    ['potassium-chloride', [28, 34, 41, 46, 54, 56]],
  ])('%s agrees with a second table', (id, grams) => {
    for (const [index, at] of ['0', '20', '40', '60', '80', '100'].entries())
      expect(Math.abs(in100g(id, at) / (grams[index] ?? Number.NaN) - 1), `${id} ${at}`).toBeLessThan(0.07);
  });

  // From memory, handbooks: g of anhydrous salt in 100 g of water at 20 °C.
  it.each([
    ['copper-ii-sulfate-pentahydrate', 20.5, 0.04],
    ['potassium-dichromate', 12.3, 0.02],
    ['sodium-carbonate-decahydrate', 21.5, 0.03],
    ['boric-acid', 5.0, 0.02],
    ['potassium-permanganate', 6.4, 0.02],
    ['sodium-hydrogencarbonate', 9.6, 0.02],
  ])('%s dissolves at 20 °C as handbooks have it', (id, grams, relative) => {
    expect(Math.abs(in100g(id, '20') / grams - 1)).toBeLessThan(relative);
  });

  // ACS Omega (PMC9697389): caffeine, 20.71 g in 1 kg of water at 25 °C.
  it('of caffeine agrees with a second origin to 5 %', () => {
    const points = compoundById('caffeine')?.solubilities[0]?.points ?? [];
    const at25 = points.find(({ temperature }) => temperature.text === '25');
    expect(Math.abs(Number(at25?.solubility.text) / 20.71 - 1)).toBeLessThan(0.05);
  });

  // AAPS PharmSciTech 22 (2021), table IV: 0.826 and 0.988 mol/L in ethanol, 0.0246 and 0.0308 in water;
  // molar mass 180.159 g/mol.
  it.each([
    ['ethanol', [0.826, 0.988]],
    ['water', [0.0246, 0.0308]],
  ])('of acetylsalicylic acid in %s is the one printed', (solvent, molPerL) => {
    const { points = [] } =
      compoundById('acetylsalicylic-acid')?.solubilities.find((one) => one.solvent === solvent) ?? {};
    expect(points.map(({ temperature }) => temperature.text)).toEqual(['25', '37']);
    for (const [index, { solubility }] of points.entries())
      expect(Math.abs(Number(solubility.text) / 180.159 / (molPerL[index] ?? 0) - 1)).toBeLessThan(0.01);
  });

  // A hydrate and its anhydrous salt saturate the same water: the table has one line for both.
  it.each([
    ['copper-ii-sulfate', 'copper-ii-sulfate-pentahydrate'],
    ['magnesium-sulfate', 'magnesium-sulfate-heptahydrate'],
    ['sodium-sulfate', 'sodium-sulfate-decahydrate'],
    ['calcium-chloride', 'calcium-chloride-hexahydrate'],
  ])('%s and %s share a line', (anhydrous, hydrate) => {
    expect(compoundById(hydrate)?.solubilities).toEqual(compoundById(anhydrous)?.solubilities);
  });
});
