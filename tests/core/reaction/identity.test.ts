import { describe, expect, it } from 'vitest';
import { boilingPointAt, evaluateBoiling } from '../../../core/reaction/boiling-point.ts';
import { evaluateMelting } from '../../../core/reaction/melting-range.ts';
import { evaluateRefraction, refractiveIndexAt } from '../../../core/reaction/refractive-index.ts';
import type { IdentityVerdict } from '../../../core/reaction/identity.ts';
import type { Quantity } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { entered } from './make-table.ts';

const degrees = (typed: string | null) => (typed === null ? null : entered(`${typed} °C`));
const quantity = (value: number, unit: UnitSymbol, significantFigures: number): Quantity => ({
  value,
  unit,
  standardUncertainty: null,
  significantFigures,
});
const codes = (verdict: IdentityVerdict | null) => verdict?.findings.map((one) => one.code);
const words = (verdict: IdentityVerdict | null) => (verdict?.findings ?? []).map(problemSentence).join(' ');

describe('evaluateMelting', () => {
  // Acetanilide melts at 114.35 °C: CRC Handbook, 95th ed.
  const literature = { from: entered('114.3 °C'), to: null, source: 'CRC Handbook, 95th ed.' };
  const judge = (from: string | null, to: string | null, published: typeof literature | null = literature) =>
    evaluateMelting({ from: degrees(from), to: degrees(to) }, published);

  it.each([
    ['113.5', '114.5', ['melting-width', 'melting-agrees'], 'agrees'],
    ['113', '114', ['melting-width', 'melting-near'], 'agrees'],
    ['108', '111', ['melting-width', 'melting-below'], 'differs'],
    ['116', '117', ['melting-width', 'melting-above'], 'differs'],
    ['113', '116', ['melting-width', 'melting-agrees'], 'agrees'],
    ['109', '114.5', ['melting-width', 'melting-agrees'], 'differs'],
  ])('%s to %s °C: %s, %s', (from, to, expected, state) => {
    const verdict = judge(from, to);
    expect(codes(verdict)).toEqual(expected);
    expect(verdict?.state).toBe(state);
  });
  it('tells the width to the finer of the two readings: one thermometer showed both', () => {
    const verdict = evaluateMelting(
      { from: { text: '133', unit: '°C' }, to: { text: '135.5', unit: '°C' } },
      null,
    );
    const [width] = verdict?.findings ?? [];
    // 135.5 − 133, common practice, no source
    expect(width?.facts).toMatchObject({ grade: 'wide', width: '2.5\u2009°C' });
    expect(verdict?.workings[0]?.result.significantFigures).toBe(2);
  });

  it('grades the width: 1 °C sharp, 2 usual, above 4 impure, wet or heated too fast (common practice, no source)', () => {
    const grade = (from: string, to: string) => judge(from, to)?.findings[0]?.facts['grade'];
    expect([
      grade('113.0', '114.0'),
      grade('113.0', '115.0'),
      grade('110', '114'),
      grade('110', '115'),
    ]).toEqual(['sharp', 'usual', 'wide', 'very-wide']);
  });
  it('says by how much, to the coarser decimal place', () => {
    const verdict = judge('108', '111.5');
    expect(verdict?.distance?.value).toBeCloseTo(-2.8, 9);
    expect(words(verdict)).toContain('2.8\u2009°C below');
  });
  it('a range the wrong way round is doubted and judged no further', () => {
    const verdict = judge('114', '112');
    expect(verdict).toMatchObject({ state: 'doubtful', size: 1, workings: [] });
    expect(codes(verdict)).toEqual(['melting-range-reversed']);
    expect(words(verdict)).toContain('wrong way round');
  });
  it('one end alone is used and remarked on', () => {
    expect(codes(judge(null, '114'))).toEqual(['melting-one-end', 'melting-near']);
  });
  it('nothing noted, nothing said; nothing published, nothing compared', () => {
    expect(judge(null, null)).toBeNull();
    expect(judge('113', '114', null)).toMatchObject({ state: 'open', distance: null });
  });
  it('never calls a product pure', () => {
    for (const [from, to] of [
      ['114', '114.5'],
      ['113', '114'],
      ['100', '104'],
      ['120', '121'],
    ] as const) {
      expect(words(judge(from, to))).not.toMatch(/is pure|are pure|\bpure product/);
    }
  });
  it('reads kelvin, and a published range given upside down', () => {
    const inKelvin = evaluateMelting(
      { from: entered('386.65 K'), to: entered('387.65 K') },
      { from: entered('115 °C'), to: entered('113 °C'), source: '' },
    );
    expect(inKelvin?.state).toBe('agrees');
  });
  it('a temperature that cannot be read is named', () => {
    expect(codes(judge('hot', '114'))).toEqual(['number-unreadable']);
  });
});

describe('boiling point', () => {
  it('toluene read at 740 mmHg: add 0.92 °C (Sydney Young’s rule, from memory)', () => {
    const worked = boilingPointAt(
      quantity(110.6, '°C', 4),
      quantity(740, 'mmHg', 3),
      quantity(760, 'mmHg', 3),
      'normal',
    );
    expect(worked.ok && worked.value.result.value - 110.6).toBeCloseTo(0.92, 2);
  });
  it('an alcohol needs less, and an unknown liquid something between, with its uncertainty', () => {
    const shift = (kind: 'normal' | 'associated' | 'unknown') => {
      const worked = boilingPointAt(
        quantity(110.6, '°C', 4),
        quantity(740, 'mmHg', 3),
        quantity(760, 'mmHg', 3),
        kind,
      );
      return worked.ok ? worked.value.result.value : NaN;
    };
    expect(shift('associated')).toBeLessThan(shift('unknown'));
    expect(shift('unknown')).toBeLessThan(shift('normal'));
  });
  it('does not reach far from one atmosphere', () => {
    const far = boilingPointAt(
      quantity(60, '°C', 2),
      quantity(15, 'mmHg', 2),
      quantity(760, 'mmHg', 3),
      'normal',
    );
    expect(far.ok).toBe(false);
  });

  // Isopentyl acetate: 141.6 °C, CRC Handbook, 95th ed.
  const literature = {
    value: entered('141.6 °C'),
    pressure: entered('101.325 kPa'),
    source: 'CRC Handbook, 95th ed.',
  };
  const judge = (
    from: string | null,
    to: string | null,
    pressure: string | null,
    published: typeof literature | null = literature,
  ) =>
    evaluateBoiling(
      { from: degrees(from), to: degrees(to), pressure: pressure === null ? null : entered(pressure) },
      published,
    );
  it('is compared at the published pressure', () => {
    const verdict = judge('138', '140.5', '98.0 kPa');
    expect(codes(verdict)).toEqual(['boiling-corrected', 'boiling-agrees']);
    expect(verdict?.workings).toHaveLength(1);
  });
  it('without the day’s pressure it is compared as read, and that is said', () => {
    expect(codes(judge('139', '141', null))).toEqual(['boiling-uncorrected', 'boiling-agrees']);
    const open = { ...literature, pressure: null as never };
    expect(codes(judge('139', '141', '100 kPa', open))).toEqual(['boiling-uncorrected', 'boiling-agrees']);
  });
  it.each([
    ['128', '134', 'boiling-below'],
    ['146', '150', 'boiling-above'],
  ])('%s to %s °C: %s', (from, to, code) => {
    expect(judge(from, to, '760 mmHg')).toMatchObject({ state: 'differs' });
    expect(codes(judge(from, to, '760 mmHg'))).toContain(code);
  });
  it('refuses the wrong order and says nothing of nothing', () => {
    expect(codes(judge('141', '139', null))).toEqual(['boiling-range-reversed']);
    expect(judge(null, null, '1 atm')).toBeNull();
    expect(judge('139', '141', null, null)).toMatchObject({ state: 'open' });
  });
});

describe('refractive index', () => {
  it('1.3983 at 24.0 °C is 1.4001 at 20 °C (coefficient from memory)', () => {
    const worked = refractiveIndexAt(quantity(1.3983, '1', 5), quantity(24, '°C', 3), quantity(20, '°C', 2));
    expect(worked.ok && worked.value.result).toMatchObject({ significantFigures: 5 });
    expect(worked.ok && worked.value.result.value).toBeCloseTo(1.4001, 6);
  });
  const literature = {
    value: entered('1.4000 1'),
    temperature: entered('20 °C'),
    source: 'CRC Handbook, 95th ed.',
  };
  const judge = (
    value: string | null,
    temperature: string | null,
    published: typeof literature | null = literature,
  ) =>
    evaluateRefraction(
      { value: value === null ? null : entered(value), temperature: degrees(temperature) },
      published,
    );
  it.each([
    ['1.3983', '24.0', 'agrees'],
    ['1.4100', '20.0', 'differs'],
    ['1.3983', null, 'open'],
    ['1.3983', '60', 'open'],
    ['14.00', '20', 'doubtful'],
  ])('%s at %s °C: %s', (value, temperature, state) => expect(judge(value, temperature)?.state).toBe(state));
  const coarse = (published: string) => ({ ...literature, value: entered(`${published} 1`) });
  it.each([
    // Half a step of the last digit printed (JCGM 100:2008, F.2.2.1) comes on top of what a refractometer allows.
    ['1.4040', '1.40', 'agrees'],
    ['1.4055', '1.40', 'agrees'],
    ['1.4070', '1.40', 'differs'],
    ['1.4040', '1.400', 'differs'],
    ['1.4012', '1.400', 'agrees'],
    ['1.4012', '1.4000', 'differs'],
    ['1.4', '1.4000', 'agrees'],
  ])('%s against a published %s: %s, each as finely as it is given', (read, published, state) =>
    expect(judge(read, '20', coarse(published))?.state).toBe(state),
  );
  it('says that a coarse value decides little, and gives the difference no more digits than it has', () => {
    const said = (read: string, published: string) =>
      (judge(read, '20', coarse(published))?.findings ?? []).map(problemSentence).join(' ');
    expect(said('1.4040', '1.40')).toContain('The published value has only 2 decimals');
    expect(said('1.4040', '1.40')).not.toContain('0.0040');
    expect(said('1.4', '1.4000')).toContain('The reading has only 1 decimal,');
    expect(said('1.4005', '1.4000')).toContain('0.0005 above the published 1.4000');
  });
  it('nothing noted, nothing said', () => {
    expect(judge(null, '20')).toBeNull();
    expect(judge('1.4', '20', null)).toMatchObject({ state: 'open' });
  });
});
