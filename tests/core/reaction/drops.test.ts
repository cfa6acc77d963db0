import { describe, expect, it } from 'vitest';
import { budgetOf } from '../../../core/workings/budget.ts';
import { workingLines } from '../../../core/workings/lines.ts';
import { countedOut, usualDrops } from '../../../core/reaction/drops.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import { scaleByFactor } from '../../../core/reaction/scale.ts';
import type { Cell, DropSize, Measure, ReagentRow, Supply } from '../../../core/reaction/table-types.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { entered, massFraction, neat, row, solid } from './make-table.ts';

const size = (drops: string, make: string, uncertainty?: string, count?: string): DropSize => ({
  drops: entered(`${drops} drops`),
  make: entered(make),
  uncertainty: uncertainty === undefined ? null : entered(uncertainty),
  countUncertainty: count === undefined ? null : entered(`${count} drops`),
});
const inDrops = (drops: string, drop?: DropSize): Measure => {
  const bare: Measure = { by: 'volume', entered: entered(`${drops} drops`), instrument: null };
  return drop === undefined ? bare : { ...bare, drop };
};
const acid = (measure: Measure, supply: Supply = neat('1.840')): ReagentRow => ({
  ...row('sulfuric acid', 'H2SO4', 'catalyst', supply, null),
  planned: measure,
  taken: measure,
});
const sideOf = (one: ReagentRow) => {
  const [computed] = computeTable({ equation: '', rows: [one], productRowId: null }).rows;
  if (computed === undefined) throw new Error('no row');
  return computed;
};
function known(cell: Cell) {
  if (cell.state !== 'known') throw new Error(`cell is ${cell.state}`);
  return cell;
}
const counted = (measure: Measure) => {
  const found = countedOut(acid(measure), 'taken', measure);
  if (!found.ok) throw new Error(found.error.code);
  return found.value;
};

describe('counted drops', () => {
  // Uncertainties: own Monte Carlo with rectangular limits (JCGM 101), 400 000 draws, in another language.
  it('as a volume, with count and size of the drop in the budget', () => {
    const { by, working } = counted(inDrops('5', size('20', '1.0 mL', '0.3 mL')));
    expect(by).toBe('volume');
    expect(working.result.value).toBeCloseTo(0.25, 12);
    expect(working.result.standardUncertainty).toBeCloseTo(0.052, 3);
    const shares = budgetOf(working).map(({ source, share }) => [source, Math.round(share * 100)]);
    // (0.3/√3/1.0)² : (1/√3/5)² = 0.0300 : 0.0133
    expect(shares).toEqual([
      ['size of the drops of sulfuric acid', 69],
      ['count of the drops of sulfuric acid', 31],
    ]);
    const text = workingLines(working).join('\n');
    expect(text).toContain('may be off by 1 drop');
    expect(text).toContain('common practice, no source');
  });

  it('as a mass where the drops were weighed: no density is needed for it', () => {
    const { by, working } = counted(inDrops('12', size('20', '912 mg', '0.5 mg', '2')));
    expect(by).toBe('mass');
    expect(working.result.value).toBeCloseTo(0.5472, 12);
    expect(working.result.unit).toBe('g');
    expect(working.result.standardUncertainty).toBeCloseTo(0.0527, 3);
  });

  it('half a step of the last digit where no limit is stated, and says so', () => {
    const { working } = counted(inDrops('10', size('20', '1.00 mL', undefined, '0')));
    // 0.5 mL ± 0.005/√3 mL · 10/20 (JCGM 100:2008, F.2.2.1)
    expect(working.contributions.map(({ value }) => value)).toEqual([
      expect.closeTo(0.005 / Math.sqrt(3) / 2, 9),
    ]);
    expect(workingLines(working).join('\n')).toContain('half a step of its last digit');
  });

  it('no limit at all leaves an exact number', () => {
    const { working } = counted(inDrops('10', size('20', '1.00 mL', '0 mL', '0')));
    expect(working.result.standardUncertainty).toBe(0);
  });

  it('give mass and amount of the row', () => {
    // m = 0.25 mL · 1.840 g/mL; n = m / 98.07 g/mol (H₂SO₄, CIAAW)
    const { taken } = sideOf(acid(inDrops('5', size('20', '1.0 mL', '0.3 mL'))));
    expect(known(taken.volume).quantity).toMatchObject({ unit: 'mL' });
    expect(known(taken.mass).quantity.value).toBeCloseTo(0.46, 9);
    expect(known(taken.amount).quantity.value).toBeCloseTo(4.69, 2);
    expect(known(taken.amount).quantity.standardUncertainty).toBeCloseTo(4.69 * 0.208, 2);
  });

  it('of a solution, weighed', () => {
    // 0.912 g · 0.85 / 97.99 g/mol (H₃PO₄)
    const { taken } = sideOf({
      ...acid(inDrops('20', size('20', '0.912 g')), massFraction('85', null)),
      formula: 'H3PO4',
      equationFormula: 'H3PO4',
    });
    expect(known(taken.mass).quantity.value).toBeCloseTo(0.912, 9);
    expect(known(taken.amount).quantity.value).toBeCloseTo(7.911, 2);
  });

  it('stay without an amount as long as nobody says how large they are', () => {
    for (const measure of [inDrops('5'), inDrops('5', { ...usualDrops, drops: null, make: null })]) {
      const { problems, taken } = sideOf(acid(measure));
      expect(taken.amount.state).toBe('blocked');
      expect(problems.map(({ code }) => code)).toContain('drops-need-volume');
    }
  });

  it.each<[string, DropSize, string, string]>([
    ['no volume', { ...size('20', '1 mL'), make: null }, 'drop-size-open', 'make'],
    ['no number of drops', { ...size('20', '1 mL'), drops: null }, 'drop-size-open', 'drops'],
    ['no drops at all', size('0', '1 mL'), 'drop-size-open', 'drops'],
    ['a volume of nothing', size('20', '0 mL'), 'drop-size-open', 'make'],
    ['a limit of another kind', size('20', '1 mL', '0.1 g'), 'unit-does-not-fit', 'uncertainty'],
    ['a word', size('20', 'much mL'), 'number-unreadable', 'make'],
  ])('%s is refused at its box', (_, drop, code, part) => {
    const found = countedOut(acid(inDrops('5', drop)), 'taken', inDrops('5', drop));
    expect(found).toMatchObject({
      ok: false,
      error: { code, where: `rows.sulfuric-acid.taken.drop.${part}` },
    });
    if (!found.ok) expect(problemSentence(found.error)).not.toContain(code);
  });

  it('of a solid or a gas are refused', () => {
    const drop = size('20', '1.0 mL');
    expect(sideOf(acid(inDrops('5', drop), solid())).problems.map(({ code }) => code)).toContain(
      'solid-by-volume',
    );
    const gas: Supply = { kind: 'gas', temperature: entered('20 °C'), pressure: entered('1 atm') };
    expect(sideOf(acid(inDrops('5', drop), gas)).problems.map(({ code }) => code)).toContain('gas-in-drops');
  });

  it('planned and taken are held against each other by volume, also against millilitres', () => {
    const planned = inDrops('5', size('20', '1.0 mL'));
    const taken: Measure = { by: 'volume', entered: entered('0.30 mL'), instrument: null };
    const { difference } = sideOf({ ...acid(planned), taken });
    expect(known(difference).quantity.value).toBeCloseTo(20, 9);
  });

  it('whose size is known on one side only are held against each other as counted', () => {
    const { difference } = sideOf({
      ...acid(inDrops('5')),
      taken: inDrops('6', size('20', '0.912 g')),
    });
    expect(known(difference).quantity.value).toBeCloseTo(20, 9);
  });

  it('are scaled as drops of the same size', () => {
    const drop = size('20', '1.0 mL');
    const scaled = scaleByFactor([acid(inDrops('5', drop))], 3);
    if (!scaled.ok) throw new Error(scaled.error.code);
    expect(scaled.value.rows[0]?.planned).toEqual(inDrops('15', drop));
  });
});
