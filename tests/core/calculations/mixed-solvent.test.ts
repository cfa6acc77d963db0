import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mixedSolvent } from '../../../core/calculations/mixed-solvent.ts';
import { recrystallisation } from '../../../core/calculations/recrystallisation.ts';
import type { CalculationInputs, Outcome } from '../../../core/calculations/calculation.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../../core/quantity/unit.ts';

const q = (text: string | number, unit: UnitSymbol): Entered => ({ text: String(text), unit });
type Line = readonly [share: number | string, hot: number | string, cold: number | string];
const table = (lines: readonly Line[]) =>
  lines.map(([share, hot, cold]) => ({ share: q(share, '% v/v'), hot: q(hot, 'g/L'), cold: q(cold, 'g/L') }));
const work = (
  way: 'clouding' | 'mixture',
  mass: number | string,
  lines: readonly Line[],
  more: CalculationInputs = {},
): Outcome =>
  mixedSolvent.work({
    mass: q(mass, 'g'),
    way,
    table: table(lines),
    hot: q('75', '°C'),
    cold: q('5', '°C'),
    ...more,
  });
const value = (outcome: Outcome, id: string): number =>
  outcome.workings.find((one) => one.id === id)?.result.value ?? Number.NaN;
const codes = (outcome: Outcome): readonly string[] => outcome.problems.map(({ code }) => code);

const pair: readonly Line[] = [
  [100, 400, 60],
  [75, 200, 20],
  [50, 70, 5],
  [25, 20, 1.5],
];

describe('a mixture made up beforehand', () => {
  it('published teaching exercise: 1.00 g benzoic acid, 68 g/L hot and 3.4 g/L cold, is 14.7 mL and 0.95 g, whatever the table calls the solvent', () => {
    const lines: readonly Line[] = [
      [100, 400, 60],
      [50, 68, 3.4],
    ];
    const found = work('mixture', '1.00', lines, { share: q(50, '% v/v') });
    expect(Math.abs(value(found, 'least-solvent') - 14.7)).toBeLessThan(0.05);
    expect(Math.abs(value(found, 'crystals') - 0.95)).toBeLessThan(0.002);
  });
  it('between two lines ln s is straight: halfway it is the geometric mean (log-linear mixing, Yalkowsky, from memory)', () => {
    const found = work('mixture', '1.00', pair, { share: q('62.5', '% v/v') });
    expect(value(found, 'solubility-hot')).toBeCloseTo(Math.sqrt(200 * 70), 9);
    expect(value(found, 'solubility-cold')).toBeCloseTo(Math.sqrt(20 * 5), 9);
  });
  it('says that a volume too small leaves a rest, as one solvent does', () => {
    const found = work('mixture', '1.00', pair, { share: q(50, '% v/v'), volume: q('10', 'mL') });
    expect(value(found, 'undissolved')).toBeCloseTo(1 - 0.7, 9);
    expect(found.statements.map(({ tone }) => tone)).toContain('caution');
  });
  it('asks for the share, and goes nowhere outside the table', () => {
    expect(codes(work('mixture', '1.00', pair))).toEqual(['field-missing']);
    const outside = work('mixture', '1.00', pair, { share: q('10', '% v/v') });
    expect(codes(outside)).toContain('outside-mixtures');
    expect(outside.answers).toEqual([]);
  });
});

describe('adding the other solvent until it clouds', () => {
  it('by hand: 5.00 g in 18.75 mL clouds at the line of 75 % v/v, with 6.25 mL, where 25.0 mL hold 200 g/L', () => {
    const found = work('clouding', '5.00', pair, { volume: q('18.75', 'mL') });
    expect(codes(found)).toEqual([]);
    expect(value(found, 'other-solvent')).toBeCloseTo(6.25, 9);
    expect(value(found, 'mixture-share')).toBeCloseTo(75, 9);
    // Cold that line holds 20 g/L: 25 mL keep 0.50 g, and 90 % can come out.
    expect(value(found, 'loss')).toBeCloseTo(0.5, 9);
    expect(value(found, 'best-recovery')).toBeCloseTo(90, 9);
    expect(value(found, 'loss-alone')).toBeCloseTo(1.125, 9);
  });

  it('at clouding the mixture is saturated at every line of the table, whichever it is', () => {
    for (const [share, hot, cold] of pair.slice(1) as readonly (readonly [number, number, number])[]) {
      const better = (100 * share) / 100;
      const mass = (100 * hot) / 1000;
      const found = work('clouding', mass, pair, { volume: q(better, 'mL') });
      expect(value(found, 'volume-together')).toBeCloseTo(100, 6);
      expect(value(found, 'loss')).toBeCloseTo((100 * cold) / 1000, 6);
    }
  });

  it('balances: loss and crystals are the mass; what dissolves hot lies between the two lines; more mass clouds sooner', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 20, noNaN: true }),
        fc.double({ min: 1.01, max: 8, noNaN: true }),
        (mass, spare) => {
          const volume = ((1000 * mass) / 400) * spare;
          const found = work('clouding', mass.toPrecision(12), pair, {
            volume: q(volume.toPrecision(12), 'mL'),
          });
          if (codes(found).length > 0) {
            expect(codes(found)).toEqual(['clouding-beyond']);
            return;
          }
          const together = value(found, 'volume-together');
          expect(together).toBeGreaterThanOrEqual(volume * (1 - 1e-9));
          expect(value(found, 'other-solvent') + volume).toBeCloseTo(together, 6);
          if (Number.isFinite(value(found, 'crystals'))) {
            expect(value(found, 'loss') + value(found, 'crystals')).toBeCloseTo(mass, 6);
          }
          const share = value(found, 'mixture-share');
          const at = pair.findIndex(([line]) => Number(line) <= share);
          const [richer, leaner] = [pair[Math.max(0, at - 1)], pair[at]];
          const concentration = (1000 * mass) / together;
          expect(concentration).toBeLessThanOrEqual(Number(richer?.[1]) * (1 + 1e-9));
          expect(concentration).toBeGreaterThanOrEqual(Number(leaner?.[1]) * (1 - 1e-9));
          const heavier = work('clouding', (mass * 1.1).toPrecision(12), pair, {
            volume: q((volume * 1.0).toPrecision(12), 'mL'),
          });
          const other = value(heavier, 'other-solvent');
          if (Number.isFinite(other)) expect(other).toBeLessThan(value(found, 'other-solvent'));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('is linear in the size of the preparation', () => {
    const [one, ten] = [
      work('clouding', '2.00', pair, { extra: q(20, '%') }),
      work('clouding', '20.0', pair, { extra: q(20, '%') }),
    ];
    for (const id of ['least-solvent', 'solvent-to-take', 'other-solvent', 'loss', 'crystals']) {
      expect(value(ten, id)).toBeCloseTo(10 * value(one, id), 9);
    }
    expect(value(ten, 'best-recovery')).toBeCloseTo(value(one, 'best-recovery'), 9);
  });

  it('without the other solvent it is the recrystallisation from one', () => {
    // At the least volume the hot solution is saturated: the first drop clouds it.
    const found = work('clouding', '5.00', pair);
    const single = recrystallisation.work({
      mass: q('5.00', 'g'),
      solubility: [
        { temperature: q(5, '°C'), solubility: q(60, 'g/L') },
        { temperature: q(75, '°C'), solubility: q(400, 'g/L') },
      ],
      hot: q(75, '°C'),
      cold: q(5, '°C'),
    });
    expect(value(found, 'other-solvent')).toBeCloseTo(0, 9);
    expect(value(found, 'loss')).toBeCloseTo(value(single, 'loss'), 9);
  });

  it('says what is missing or cannot be', () => {
    expect(codes(work('clouding', '5.00', pair.slice(1)))).toEqual(['better-solvent-missing']);
    expect(codes(work('clouding', '0.10', pair, { volume: q(50, 'mL') }))).toEqual(['clouding-beyond']);
    expect(codes(work('clouding', '5.00', [...pair, [75, 210, 20]]))).toEqual(['mixture-repeated']);
    expect(
      codes(
        work('clouding', '5.00', [
          [100, 400, 60],
          [50, 0, 5],
        ]),
      ),
    ).toEqual(['quantity-zero']);
    expect(codes(work('clouding', '5.00', pair, { cold: q(80, '°C') }))).toEqual(['not-cooling']);
    const tooSmall = work('clouding', '5.00', pair, { volume: q(10, 'mL') });
    expect(value(tooSmall, 'undissolved')).toBeCloseTo(1, 9);
    expect(tooSmall.statements.map(({ tone }) => tone)).toContain('caution');
  });

  it('doubts a mixture between lines far apart', () => {
    const found = work(
      'clouding',
      '5.00',
      [
        [100, 400, 60],
        [40, 20, 2],
      ],
      { extra: q(20, '%') },
    );
    expect(found.statements.some(({ tone, text }) => tone === 'doubt' && text.includes('apart'))).toBe(true);
  });
});
