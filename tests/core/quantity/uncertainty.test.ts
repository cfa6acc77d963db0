import { describe, expect, it } from 'vitest';
import { combined } from '../../../core/quantity/contribution.ts';
import {
  displayResolution,
  expanded,
  exponentOf,
  figuresAtPlace,
  ofDifference,
  ofMean,
  placeOfUncertainty,
  rectangular,
  triangular,
} from '../../../core/quantity/uncertainty.ts';

describe('standard uncertainty from limits', () => {
  it('is a/√3 for a tolerance: ± 0.20 mL (JCGM 100:2008, 4.3.7)', () => {
    expect(rectangular(0.2)).toBeCloseTo(0.1155, 4);
  });

  it('is a/√6 where the middle is likelier: ± 0.1 mL flask (Eurachem/CITAC Guide, example A1)', () => {
    expect(triangular(0.1)).toBeCloseTo(0.0408, 4);
  });

  it('is δ/(2√3) for a display (JCGM 100:2008, F.2.2.1)', () => {
    // F.2.2.1: "0.29 δ".
    expect(displayResolution(1)).toBeCloseTo(0.29, 2);
  });

  it('counts both readings of a difference: each ± 0.001 g (JCGM 100:2008, 5.1.2)', () => {
    const one = rectangular(0.001);
    expect(ofDifference(one, one)).toBeCloseTo(0.000816, 6);
  });

  it('combines a flask: tolerance, repeatability, temperature (Eurachem/CITAC Guide, example A1)', () => {
    const temperature = rectangular(4 * 2.1e-4 * 100);
    expect(temperature).toBeCloseTo(0.0485, 4);
    const sources = [triangular(0.1), 0.02, temperature].map((value, index) => ({
      source: String(index),
      label: '',
      value,
    }));
    expect(Math.abs(combined(sources) - 0.0665)).toBeLessThan(0.0005);
  });
});

describe('ofMean', () => {
  it('is s/√n: twenty temperatures with mean 100.145 °C (JCGM 100:2008, 4.4.3, table 1; from memory)', () => {
    const readings = [
      96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
      101.11, 101.2, 101.57, 101.84, 102.36, 102.72,
    ];
    expect(ofMean(readings)).toBeCloseTo(0.333, 3);
  });

  it('needs two values', () => {
    expect(ofMean([])).toBeNull();
    expect(ofMean([1])).toBeNull();
    expect(ofMean([1, 1])).toBe(0);
  });
});

describe('digits', () => {
  it('expands by k (JCGM 100:2008, 6.2.1)', () => {
    expect(expanded(0.24)).toBe(0.48);
    expect(expanded(0.24, 3)).toBeCloseTo(0.72, 12);
  });

  // Particle Data Group, Phys. Rev. D 98 (2018) 030001, Introduction, 5.3: two digits from 100 to 354,
  // one from 355 to 949, two of 1000 from 950 to 999.
  it.each([
    [0.119, -2],
    [0.367, -1],
    [0.354, -2],
    [0.355, -1],
    [0.0951, -2],
    [0.9996, -1],
    [50, 1],
    [12, 0],
  ])('the last digit of u = %d stands at 10^%i', (u, place) => {
    expect(placeOfUncertainty(u)).toBe(place);
  });

  it('finds the exponent of exact powers of ten', () => {
    for (let power = -20; power <= 20; power += 1) {
      expect(exponentOf(Number(`1e${power}`))).toBe(power);
      expect(exponentOf(Number(`9.99999999999999e${power}`))).toBe(power);
    }
    expect(exponentOf(0)).toBe(0);
  });

  it('counts the figures after rounding', () => {
    expect(figuresAtPlace(99.96, -1)).toBe(4);
    expect(figuresAtPlace(99.94, -1)).toBe(3);
    expect(figuresAtPlace(0.004, -1)).toBe(1);
    expect(figuresAtPlace(0.96, -1)).toBe(2);
  });
});
