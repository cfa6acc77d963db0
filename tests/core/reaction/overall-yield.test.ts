import { describe, expect, it } from 'vitest';
import { linesOf, overallYields } from '../../../core/reaction/overall-yield.ts';
import { computeTable } from '../../../core/reaction/reagent-table.ts';
import type { EarlierStage, ReagentRow, RowOrigin } from '../../../core/reaction/table-types.ts';
import { computeYields } from '../../../core/reaction/yields.ts';
import { codesOf, entered, row, solid, valueOf } from './make-table.ts';

const stage = (entryNumber: number, percent: string | null, u: string | null = null): EarlierStage => ({
  entryId: `entry-${entryNumber}`,
  entryNumber,
  title: `stage ${entryNumber}`,
  yield: percent === null ? null : entered(`${percent} %`),
  yieldUncertainty: u === null ? null : entered(`${u} %`),
});
const from = (one: EarlierStage, ...lines: readonly (readonly EarlierStage[])[]): RowOrigin => ({
  ...one,
  recordId: 'record-1',
  mass: null,
  lines,
});

/** Ester hydrolysis that gives exactly `percent` of the theoretical yield. */
function entryGiving(percent: number, origins: readonly (RowOrigin | null)[]) {
  const equation = 'C8H8O2 + NaOH -> C7H5O2Na + CH4O';
  const rows: ReagentRow[] = [
    { ...row('ester', 'C8H8O2', 'reactant', solid(), '10.00 mmol'), origin: origins[0] ?? null },
    { ...row('base', 'NaOH', 'reactant', solid(), '30.0 mmol'), origin: origins[1] ?? null },
    row('salt', 'C7H5O2Na', 'product', solid(), null),
  ];
  const table = computeTable({ equation, rows, productRowId: 'salt' });
  const whole = valueOf(table.taken.theoreticalYield);
  const mass = { text: ((whole * percent) / 100).toPrecision(12), unit: 'g' } as const;
  const blank = { mass: null, instrument: null };
  const weighed = percent > 0 ? { mass, instrument: null } : blank;
  const { pure } = computeYields(table, { crude: blank, pure: weighed });
  return overallYields(rows, table, pure);
}

describe('overallYields', () => {
  it('is empty for an entry made of what was bought', () => {
    expect(entryGiving(80, [null, null])).toEqual([]);
  });

  it('linear: 90, 80 and 70 % are 50.4 % together (arithmetic of the textbooks)', () => {
    const [only] = entryGiving(70, [from(stage(2, '80.00'), [stage(1, '90.00')])]);
    expect(only?.stages.map(({ entryNumber }) => entryNumber)).toEqual([2, 1]);
    expect(valueOf(only?.overall ?? { state: 'none' })).toBeCloseTo(50.4, 6);
  });

  it('convergent: one overall yield for each starting material, and the working says they are not averaged', () => {
    const origin = from(stage(3, '80.00'), [stage(1, '90.00')], [stage(2, '50.00')]);
    const found = entryGiving(75, [origin, from(stage(4, '60.00'))]);
    expect(found.map(({ overall }) => Number(valueOf(overall).toFixed(6)))).toEqual([54, 30, 45]);
    expect(found.map(({ rowId }) => rowId)).toEqual(['ester', 'ester', 'base']);
    const ids = found.map(({ overall }) => (overall.state === 'known' ? overall.working?.id : null));
    expect(new Set(ids).size).toBe(3);
    for (const { overall } of found) {
      const notes = overall.state === 'known' ? (overall.working?.notes ?? []) : [];
      expect(notes.join(' ')).toContain('not averaged');
    }
  });

  it('says that a product taken in excess does not limit', () => {
    const [only] = entryGiving(75, [null, from(stage(4, '60.00'))]);
    const notes = only?.overall.state === 'known' ? (only.overall.working?.notes ?? []) : [];
    expect(notes.join(' ')).toContain('in excess here');
  });

  it('propagates the uncertainties the earlier entries printed: relative ones add in quadrature (JCGM 100:2008, 5.1.6)', () => {
    const [only] = entryGiving(100, [from(stage(2, '80.0', '2.0'), [stage(1, '50.0', '1.0')])]);
    if (only?.overall.state !== 'known' || only.overall.working === null) throw new Error('known');
    const { working } = only.overall;
    const value = (name: string): number =>
      working.contributions.find(({ source }) => source === `entry:${name}:yield`)?.value ?? Number.NaN;
    expect(value('entry-2') / working.result.value).toBeCloseTo(2 / 80, 9);
    expect(value('entry-1') / working.result.value).toBeCloseTo(1 / 50, 9);
  });

  it('is blocked by an earlier yield that is missing, by its name, and by a product not weighed', () => {
    const [missing] = entryGiving(70, [from(stage(2, null))]);
    expect(missing?.overall).toMatchObject({
      state: 'blocked',
      problems: [
        {
          code: 'origin-yield-missing',
          where: 'rows.ester.origin.yield',
          facts: { entry: 'entry 2, stage 2' },
        },
      ],
    });
    const [unweighed] = entryGiving(0, [from(stage(2, '80'))]);
    expect(codesOf(unweighed?.overall ?? { state: 'none' })).toEqual(['product-not-weighed']);
  });

  it.each(['', 'eighty', '1e999', '8０', '−5', '0'])('a yield typed as “%s” gives no number', (text) => {
    const odd = { ...stage(2, '80'), yield: { text, unit: '%' as const } };
    const [only] = entryGiving(70, [from(odd)]);
    expect(only?.overall.state).toBe('blocked');
  });
});

describe('linesOf', () => {
  it('ends at each starting material', () => {
    const origin = from(stage(3, '1'), [stage(2, '1'), stage(1, '1')], [stage(4, '1')]);
    const numbers = linesOf({ ...row('a', 'C', 'reactant', solid(), null), origin }).map((line) =>
      line.map(({ entryNumber }) => entryNumber),
    );
    expect(numbers).toEqual([
      [3, 2, 1],
      [3, 4],
    ]);
  });
});
