import { emptyContent } from '../../../core/entry/empty-content.ts';
import type { EntryContent, TimeMark } from '../../../core/record/content.ts';
import { entered, measure, neat, row, solid } from '../reaction/make-table.ts';

export const mark = (clock: string): TimeMark => ({
  at: `2026-03-02T${clock}.000Z`,
  offsetMinutes: 60,
  correction: null,
});

/** An acetylation as a student might have carried it out: too warm, four minutes long, some anhydride more. */
export function acetylation(): EntryContent {
  const blank = emptyContent({ date: '2026-03-02' });
  const balance = 'balance-0.01';
  return {
    ...blank,
    title: 'Acetylsalicylic acid',
    aim: 'To acetylate salicylic acid.',
    principle: 'The phenol is acetylated by the anhydride.',
    equation: 'C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2',
    requirements: ['conical flask, 100 mL'],
    precautions: 'Acetic anhydride is corrosive: see the supplier’s safety data sheet.',
    productRowId: 'acetylsalicylic-acid',
    expectedYield: entered('80 %'),
    rows: [
      row('salicylic acid', 'C7H6O3', 'reactant', solid('99 %'), '2.05 g', {
        planned: measure('2.00 g', balance),
        instrument: balance,
      }),
      row('acetic anhydride', 'C4H6O3', 'reactant', neat('1.082', '98 %'), '5.6 mL', {
        planned: measure('5.0 mL', 'cylinder-astm-10-b'),
        instrument: 'cylinder-astm-10-b',
      }),
      row('acetylsalicylic acid', 'C9H8O4', 'product', solid(null), null),
    ],
    steps: [
      {
        id: 'heat',
        text: 'Warm {mass:salicylic-acid} of {name:salicylic-acid} with {volume:acetic-anhydride} of anhydride.',
        caution: '',
        limits: [
          { kind: 'temperature', from: null, to: entered('60 °C') },
          { kind: 'duration', from: entered('10 min'), to: entered('15 min') },
        ],
        holdPoint: 'may stand, stoppered',
        plannedMinutes: entered('15 min'),
      },
    ],
    stepRecords: [
      {
        stepId: 'heat',
        started: mark('09:00:00'),
        done: mark('09:19:10'),
        readings: [
          { id: 'r1', kind: 'temperature', entered: entered('66 °C'), mark: mark('09:05:00'), remark: '' },
        ],
        seen: 'all dissolved',
        deviation: '',
      },
    ],
    result: {
      ...blank.result,
      crude: { mass: entered('2.48 g'), instrument: balance },
      pure: { mass: entered('2.11 g'), instrument: balance },
      meltingRange: { from: entered('134 °C'), to: entered('136 °C') },
    },
    literature: {
      ...blank.literature,
      // CRC Handbook, 95th ed.: 136 °C; reported 135 to 140 °C, since it decomposes.
      meltingRange: { from: entered('135 °C'), to: entered('136 °C'), source: 'CRC Handbook, 95th ed.' },
    },
    discussion: 'The bath was too warm.',
  };
}
