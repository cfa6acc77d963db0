import { describe, expect, it } from 'vitest';
import { combined } from '../../../core/quantity/contribution.ts';
import {
  instrumentContributions,
  lastDigitContribution,
  rangeContribution,
} from '../../../core/quantity/instrument-contributions.ts';
import { instrumentById, instruments } from '../../../core/quantity/instruments.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const quantity = (value: number, unit: UnitSymbol, figures = 3): Quantity => ({
  value,
  unit,
  standardUncertainty: null,
  significantFigures: figures,
});
const measured = (id: string, value: number, unit: UnitSymbol, where = 'rows.0.taken') => {
  const result = instrumentContributions(id, quantity(value, unit), where);
  if (!result.ok) throw new Error(result.error.code);
  return result.value;
};

describe('instruments', () => {
  it.each([
    // ASTM E1272-02 (2012), table 1.
    ['cylinder-astm-10-a', 0.1],
    ['cylinder-astm-10-b', 0.2],
    ['cylinder-astm-25-a', 0.17],
    ['cylinder-astm-25-b', 0.34],
    ['cylinder-astm-50-b', 0.5],
    ['cylinder-astm-100-a', 0.5],
    ['cylinder-astm-100-b', 1],
    ['cylinder-astm-5-a', 0.05],
    ['cylinder-astm-250-b', 2],
    ['cylinder-astm-500-a', 2],
    // ISO 4788: class A is half a graduation, as in the German Eichordnung, annex 12, 5.2; class B from memory.
    ['cylinder-iso-25-a', 0.25],
    ['cylinder-iso-250-b', 2],
    ['cylinder-iso-500-a', 2.5],
    ['cylinder-iso-1000-b', 10],
    // ASTM E288, quoted by a secondary source.
    ['one-mark-flask-astm-25-a', 0.03],
    ['one-mark-flask-astm-100-a', 0.08],
    ['one-mark-flask-astm-1000-b', 0.6],
    // ISO 1042: class A as in the German Eichordnung, annex 12, 3.2; class B (twice) from memory.
    ['one-mark-flask-iso-100-a', 0.1],
    ['one-mark-flask-iso-500-b', 0.5],
    // ASTM E969, quoted by a laboratory book.
    ['one-mark-pipette-astm-1-a', 0.006],
    ['one-mark-pipette-astm-10-a', 0.02],
    ['one-mark-pipette-astm-25-b', 0.06],
    // ISO 648 (from memory).
    ['one-mark-pipette-iso-20-a', 0.03],
    // USP chapter 31.
    ['graduated-pipette-usp-2', 0.01],
    ['graduated-pipette-usp-10', 0.03],
    // ASTM E287 and ISO 385 (from memory).
    ['burette-astm-25-a', 0.03],
    ['burette-iso-25-a', 0.05],
    ['burette-astm-50-b', 0.1],
    // Common practice, no source: 5 % of 3 mL.
    ['dropper-3', 0.15],
  ])('%s is within ± %d mL', (id, tolerance) => {
    expect(instrumentById(id)?.toleranceMl).toBeCloseTo(tolerance, 10);
  });

  it('names a standard, a status and a class for everything, under ids of their own', () => {
    expect(new Set(instruments.map((one) => one.id)).size).toBe(instruments.length);
    for (const one of instruments) {
      expect(one.standard).not.toBe('');
      expect(one.measures === 'mass').toBe(one.capacityMl === null);
      if (one.glassClass !== null) expect(one.name).toContain(`class ${one.glassClass}`);
    }
  });

  it.each([
    // ASTM E1272-02 (2012), table 1, least graduation; a reading is good to half of it.
    ['cylinder-astm-5-a', 0.1],
    ['cylinder-astm-10-a', 0.2],
    ['cylinder-astm-25-a', 0.5],
    ['cylinder-astm-50-a', 1],
    ['cylinder-astm-100-a', 1],
    ['cylinder-astm-250-a', 2],
    ['cylinder-astm-500-a', 5],
  ])('%s is graduated in %d mL', (id, graduation) => {
    expect(instrumentById(id)?.reading).toBeCloseTo(graduation / 2, 10);
  });

  it('holds class B to twice class A, or less (ASTM: class B within twice class A)', () => {
    for (const one of instruments) {
      if (one.glassClass !== 'A') continue;
      const other = instrumentById(one.id.replace(/-a$/, '-b'));
      expect(other?.toleranceMl ?? 0).toBeGreaterThan(one.toleranceMl ?? 0);
      expect(other?.toleranceMl ?? 0).toBeLessThanOrEqual((one.toleranceMl ?? 0) * 2 + 1e-12);
    }
  });
});

describe('instrumentContributions', () => {
  it('counts both readings of a balance: √2 × 0.001 g/√3 (JCGM 100:2008, 4.3.7 and 5.1.2)', () => {
    expect(combined(measured('balance-0.001', 2, 'g'))).toBeCloseTo(0.000816, 6);
    expect(combined(measured('balance-0.001', 2000, 'mg'))).toBeCloseTo(0.816, 3);
  });

  it('adds tolerance and reading of a 10 mL class B cylinder: 0.20 rectangular, 0.10 triangular', () => {
    // JCGM 100:2008, 4.3.7 for the limit of the glass, 4.3.9 for the reading.
    const found = measured('cylinder-astm-10-b', 5, 'mL');
    expect(found.map((one) => one.value)).toEqual([
      expect.closeTo(0.2 / Math.sqrt(3), 10),
      expect.closeTo(0.1 / Math.sqrt(6), 10),
    ]);
  });

  it('shares the tolerance of one cylinder, not its readings', () => {
    const first = measured('cylinder-astm-10-b', 5, 'mL', 'rows.0.taken').map((one) => one.source);
    const second = measured('cylinder-astm-10-b', 8, 'mL', 'rows.1.taken').map((one) => one.source);
    expect(first[0]).toBe(second[0]);
    expect(first[1]).not.toBe(second[1]);
  });

  it.each([
    ['no-such-thing', 5, 'mL', 'instrument-unknown'],
    ['balance-0.01', 5, 'mL', 'instrument-does-not-fit'],
    ['cylinder-astm-10-b', 5, 'g', 'instrument-does-not-fit'],
    ['cylinder-astm-10-b', 12, 'mL', 'instrument-too-small'],
    ['cylinder-astm-100-b', 0.2, 'L', 'instrument-too-small'],
    ['one-mark-pipette-astm-10-a', 5, 'mL', 'instrument-one-mark'],
  ] as const)('refuses %s for %d %s: %s', (id, value, unit, code) => {
    expect(instrumentContributions(id, quantity(value, unit), 'x')).toMatchObject({
      ok: false,
      error: { code, where: 'x' },
    });
  });

  it('takes a one-mark pipette at its mark', () => {
    expect(combined(measured('one-mark-pipette-astm-10-a', 10, 'mL'))).toBeCloseTo(0.02 / Math.sqrt(3), 10);
  });
});

describe('other contributions', () => {
  it('reads a stated range as rectangular', () => {
    expect(rangeContribution(0.5, 'rows.0.assay', 'assay').value).toBeCloseTo(0.2887, 4);
  });

  it('takes half a unit of the last digit typed', () => {
    expect(lastDigitContribution(quantity(1.082, 'g/mL', 4), 's', 'l')?.value).toBeCloseTo(
      0.0005 / Math.sqrt(3),
      12,
    );
    expect(lastDigitContribution({ ...quantity(2, '1'), significantFigures: null }, 's', 'l')).toBeNull();
  });
});
