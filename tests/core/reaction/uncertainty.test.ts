import { describe, expect, it } from 'vitest';
import { combined } from '../../../core/quantity/contribution.ts';
import { readMeasured } from '../../../core/reaction/entered-value.ts';
import type { Cell } from '../../../core/reaction/table-types.ts';
import { workingLines } from '../../../core/workings/lines.ts';
import { entered, neat, row, rowOf, solid, tableOf, valueOf } from './make-table.ts';

const known = (cell: Cell) => {
  if (cell.state !== 'known') throw new Error(cell.state);
  return cell;
};
const measured = (typed: string, instrument: string | null, isTarget = false) => {
  const { unit } = entered(typed);
  const dimension = unit === 'g' ? 'mass' : 'volume';
  const read = readMeasured(
    entered(typed),
    instrument,
    dimension,
    unit,
    'rows.a.taken',
    'volume of a',
    'a',
    isTarget,
  );
  if (!read.ok) throw new Error(read.error.code);
  return read.value;
};

describe('how well something was measured', () => {
  it('a 10 mL class B cylinder: ± 0.20 mL rectangular and ± 0.10 mL of reading, triangular', () => {
    // ASTM E1272-02, table 1; JCGM 100:2008, 4.3.7 and 4.3.9: √(0.1155² + 0.0408²).
    expect(measured('5.0 mL', 'cylinder-astm-10-b').quantity.standardUncertainty).toBeCloseTo(0.1225, 3);
  });
  it('acetic anhydride 5.0 mL from it, 1.082 g/mL, 98 %: 51.93 mmol', () => {
    const table = tableOf(
      '',
      row('anhydride', 'C4H6O3', 'reagent', neat('1.082', '98 %'), '5.0 mL', {
        instrument: 'cylinder-astm-10-b',
      }),
    );
    const { amount } = rowOf(table, 'anhydride').taken;
    expect(valueOf(amount)).toBeCloseTo(51.93, 1);
    // √(2.449² + 0.027² + 0.295²) % of it: the cylinder, half a step of the density, half a step of the assay.
    expect(known(amount).quantity.standardUncertainty).toBeCloseTo(1.281, 2);
  });
  it('a balance is read twice: √2 × 0.001/√3 g', () => {
    expect(measured('2.000 g', 'balance-0.001').quantity.standardUncertainty).toBeCloseTo(0.000816, 6);
  });
  it('without an instrument the uncertainty stays unknown; half a step of the last digit is kept aside', () => {
    // JCGM 100:2008, F.2.2.1: 0.1/(2√3).
    const { quantity, contributions } = measured('5.0 mL', null);
    expect(quantity.standardUncertainty).toBeNull();
    expect(combined(contributions)).toBeCloseTo(0.02887, 4);
  });
  it('a figure noted more coarsely than the instrument reads is no better than its digits', () => {
    const noted = measured('10 mL', 'one-mark-pipette-astm-10-a');
    expect(noted.quantity.standardUncertainty).toBeCloseTo(0.289, 2);
    // A plan names a target: it was not rounded.
    const planned = measured('10 mL', 'one-mark-pipette-astm-10-a', true);
    expect(planned.quantity.standardUncertainty).toBeCloseTo(0.01155, 4);
  });
  it('an instrument that does not fit is doubted and not used', () => {
    const wrong = measured('30 mL', 'cylinder-astm-10-b');
    expect(wrong.doubts.map((one) => one.code)).toEqual(['instrument-too-small']);
    expect(wrong.quantity.standardUncertainty).toBeNull();
    expect(measured('5 mL', 'a wooden spoon').doubts.map((one) => one.code)).toEqual(['instrument-unknown']);
  });
  it('two liquids never share one cylinder’s tolerance; planned and taken share the bottle', () => {
    const instrument = 'cylinder-astm-10-b';
    const table = tableOf(
      '',
      row('a', 'C6H7N', 'reagent', neat('1.02'), '5.0 mL', { instrument }),
      row('b', 'C6H7N', 'reagent', neat('1.02'), '5.0 mL', { instrument }),
    );
    const sources = (name: string, side: 'planned' | 'taken') =>
      new Set(known(rowOf(table, name)[side].amount).working?.contributions.map((one) => one.source));
    const shared = (first: Set<string>, second: Set<string>) => [...first].filter((one) => second.has(one));
    expect(
      shared(sources('a', 'taken'), sources('b', 'taken')).every((one) => one.startsWith('atomic-weight:')),
    ).toBe(true);
    expect(shared(sources('a', 'planned'), sources('a', 'taken'))).toContain('rows.a.supply.density');
  });
});

describe('the digits of the table', () => {
  it('without instruments reach as far as the digits typed: 2.00 g of 98 % is 14.19 mmol, not 14', () => {
    const { amount } = rowOf(tableOf('', row('a', 'C7H6O3', 'reagent', solid('98 %'), '2.00 g')), 'a').taken;
    expect(known(amount).quantity.significantFigures).toBe(4);
    const { working } = known(amount);
    expect(working?.rounding).toBe('last-digits');
    expect(working === null ? '' : workingLines(working).join(' ')).toContain('last digits as entered');
  });
  it('are those of the uncertainty where an instrument was named', () => {
    const options = { instrument: 'cylinder-astm-10-b' };
    const { amount } = rowOf(
      tableOf('', row('a', 'C4H6O3', 'reagent', neat('1.082'), '5.0 mL', options)),
      'a',
    ).taken;
    expect(known(amount).quantity.significantFigures).toBe(3);
    expect(known(amount).working?.rounding).toBe('uncertainty');
  });
  it('a cell that was typed keeps its own', () => {
    const { mass } = rowOf(tableOf('', row('a', 'C7H6O3', 'reagent', solid(), '2.50 g')), 'a').taken;
    expect(known(mass)).toMatchObject({
      isEntered: true,
      quantity: { value: 2.5, unit: 'g', significantFigures: 3 },
    });
  });
  it('what cancels is exact: equivalents of a row chosen in mole per cent', () => {
    const table = tableOf(
      '2 Na + Cl2 -> 2 NaCl',
      row('sodium', 'Na', 'reactant', solid(), '1.00 g'),
      row('catalyst', 'AlCl3', 'catalyst', solid(), '5 mol %'),
      row('salt', 'NaCl', 'product', solid(), null),
    );
    expect(known(rowOf(table, 'catalyst').taken.equivalents).quantity).toMatchObject({
      standardUncertainty: 0,
      significantFigures: null,
    });
    expect(known(rowOf(table, 'sodium').taken.equivalents).quantity).toMatchObject({
      value: 1,
      significantFigures: null,
    });
  });
});
