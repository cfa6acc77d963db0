import { availableParallelism, loadavg } from 'node:os';
import { computeEntry } from '../../core/entry/compute-entry.ts';
import { emptyContent } from '../../core/entry/empty-content.ts';
import { computeTable } from '../../core/reaction/reagent-table.ts';
import type { EntryContent } from '../../core/record/content.ts';
import type { ReagentRow, RowRole, Supply } from '../../core/reaction/table-types.ts';
import type { Entered } from '../../core/quantity/quantity.ts';
import type { UnitSymbol } from '../../core/quantity/unit.ts';

const entered = (text: string, unit: UnitSymbol): Entered => ({ text, unit });

const neat = (density: string): Supply => ({
  kind: 'neat-liquid',
  density: entered(density, 'g/mL'),
  densityTemperature: entered('20', '°C'),
  assay: entered('99', '%'),
});
const solid: Supply = { kind: 'solid', assay: entered('98.5', '%') };
const acid: Supply = {
  kind: 'solution',
  strength: { kind: 'mass-fraction', entered: entered('37', '% w/w'), density: entered('1.18', 'g/mL') },
};
const base: Supply = {
  kind: 'solution',
  strength: { kind: 'mass-per-volume', entered: entered('10', '% w/v') },
};

function row(
  index: number,
  formula: string,
  role: RowRole,
  supply: Supply,
  by: 'mass' | 'volume' | 'equivalents' | null,
): ReagentRow {
  const text = { mass: `${2 + index / 10}`, volume: `${5 + index / 10}`, equivalents: '1.2' };
  const unit = { mass: 'g', volume: 'mL', equivalents: 'eq' } as const;
  const instrument = { mass: 'balance-0.01', volume: 'cylinder-astm-10-b', equivalents: null };
  const measure =
    by === null ? null : { by, entered: entered(text[by], unit[by]), instrument: instrument[by] };
  return {
    id: `row-${index}`,
    name: `substance ${index}`,
    formula,
    equationFormula: formula,
    unitsPerFormula: 1,
    compoundId: null,
    smiles: null,
    origin: null,
    role,
    supply,
    planned: measure,
    taken: measure,
    remark: '',
  };
}

/** Twenty rows, planned and taken, every cell with its working and its uncertainty. */
export function twentyRows(): Pick<EntryContent, 'equation' | 'rows' | 'productRowId'> {
  const rows = [
    row(0, 'C6H7N', 'reactant', neat('1.0217'), 'volume'),
    row(1, 'NaNO2', 'reactant', solid, 'mass'),
    row(2, 'C10H8O', 'reactant', solid, 'mass'),
    row(3, 'HCl', 'reagent', acid, 'volume'),
    row(4, 'C16H12N2O', 'product', solid, null),
    row(5, 'NaCl', 'by-product', solid, null),
    ...Array.from({ length: 14 }, (_, index) =>
      index % 3 === 0
        ? row(index + 6, 'NaOH', 'reagent', base, 'volume')
        : index % 3 === 1
          ? row(index + 6, 'C4H6O3', 'reagent', neat('1.082'), 'equivalents')
          : row(index + 6, 'Na2SO4', 'catalyst', solid, 'mass'),
    ),
  ];
  return {
    equation: 'C6H7N + NaNO2 + 2 HCl + C10H8O -> C16H12N2O + NaCl + 2 H2O',
    productRowId: 'row-4',
    rows,
  };
}

interface Times {
  readonly median: number;
  readonly p95: number;
}
interface Measured {
  readonly all: Times;
  /** Of the runs in which the system took the processor away for nobody else. */
  readonly undisturbed: Times;
  /** Share of those runs, %. */
  readonly undisturbedPercent: number;
}

const quantiles = (times: number[]): Times => {
  times.sort((a, b) => a - b);
  const at = (share: number): number =>
    times[Math.min(times.length - 1, Math.floor(share * times.length))] ?? 0;
  return { median: at(0.5), p95: at(0.95) };
};

/** Milliseconds of each single run by the clock, and of those that no other program interrupted. */
function measured(run: (round: number) => void, rounds: number): Measured {
  for (let round = 0; round < 400; round += 1) run(round);
  const all: number[] = [];
  const undisturbed: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const before = process.resourceUsage().involuntaryContextSwitches;
    const start = performance.now();
    run(round);
    const time = performance.now() - start;
    all.push(time);
    if (process.resourceUsage().involuntaryContextSwitches === before) undisturbed.push(time);
  }
  return {
    undisturbedPercent: (100 * undisturbed.length) / all.length,
    all: quantiles(all),
    undisturbed: quantiles(undisturbed),
  };
}

export default function recompute(): Promise<{
  name: string;
  rows: { label: string; value: number; unit: string }[];
}> {
  const table = twentyRows();
  // Each round types another figure into one row, as a student does; nothing is the same object twice.
  const edited = (round: number): typeof table => ({
    ...table,
    rows: table.rows.map((one, index) =>
      index === 0
        ? {
            ...one,
            planned: {
              by: 'volume',
              entered: entered(`4.${round % 90}`, 'mL'),
              instrument: 'cylinder-astm-10-b',
            },
          }
        : { ...one },
    ),
  });
  const ofTable = measured((round) => void computeTable(edited(round)), 1000);
  const content = { ...emptyContent({ date: '2026-01-01' }), ...table };
  const ofEntry = measured((round) => void computeEntry({ ...content, ...edited(round) }), 1000);
  const rows = (label: string, { all, undisturbed, undisturbedPercent }: Measured) => [
    { label: `${label}, median`, value: all.median, unit: 'ms' },
    { label: `${label}, p95`, value: all.p95, unit: 'ms' },
    { label: `${label}, p95 of the runs not interrupted`, value: undisturbed.p95, unit: 'ms' },
    { label: `${label}, runs not interrupted`, value: undisturbedPercent, unit: '%' },
  ];
  return Promise.resolve({
    name: 'recompute of a 20-row reagent table, with uncertainty and workings',
    rows: [
      ...rows('table', ofTable),
      ...rows('whole entry', ofEntry),
      {
        label: 'others at work on the machine: mean load of the last minute',
        value: loadavg()[0] ?? 0,
        unit: '',
      },
      { label: 'processors', value: availableParallelism(), unit: '' },
    ],
  });
}
