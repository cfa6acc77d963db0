import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';

/** One published point: mass fraction in % w/w, density of the solution in g/mL at 20 °C. */
interface Point {
  readonly percent: number;
  readonly densityGPerMl: number;
}

export interface DensityTable {
  readonly id: string;
  readonly solute: string;
  readonly formula: string;
  readonly points: readonly Point[];
  readonly source: string;
  /** Above this % w/w one density fits two strengths: no looking up backwards. Null where it always works. */
  readonly rises: { readonly upToPercent: number } | null;
}

const points = (...pairs: readonly (readonly [number, number])[]): readonly Point[] =>
  pairs.map(([percent, densityGPerMl]) => ({ percent, densityGPerMl }));

const crc = 'CRC Handbook, concentrative properties of aqueous solutions, 20 °C, as reprinted';
const perry = "Perry's Handbook, 20 °C, as reprinted";
const water = 'water: OpenStax Chemistry 2e, appendix on water, 0.99821 g/mL at 20 °C';

/** Densities of common solutions at 20 °C. Water (0 %) opens each table. */
export const densityTables: readonly DensityTable[] = [
  {
    id: 'hydrochloric-acid',
    solute: 'hydrochloric acid',
    formula: 'HCl',
    points: points([0, 0.99821], [10, 1.048], [30, 1.149], [32, 1.159], [36, 1.179], [38, 1.189]),
    source: `${perry}; ${water}`,
    rises: null,
  },
  {
    id: 'sulfuric-acid',
    solute: 'sulfuric acid',
    formula: 'H2SO4',
    points: points(
      [0, 0.99821],
      [5, 1.0318],
      [10, 1.0661],
      [30, 1.2191],
      [40, 1.3028],
      [50, 1.3952],
      [95, 1.8337],
      [96, 1.8355],
      [98, 1.8361],
      [100, 1.8305],
    ),
    // Perry from memory, not checked against the print.
    source: `${crc}; 95 to 98 %: ${perry}`,
    rises: { upToPercent: 97 },
  },
  {
    id: 'nitric-acid',
    solute: 'nitric acid',
    formula: 'HNO3',
    points: points(
      [0, 0.99821],
      [1, 1.0037],
      [5, 1.0256],
      [10, 1.0543],
      [30, 1.1801],
      [50, 1.31],
      [65, 1.391],
    ),
    source: `${perry} and ${crc}; 50 and 65 %: correlation of Laliberté (2009)`,
    rises: null,
  },
  {
    id: 'ammonia',
    solute: 'ammonia',
    formula: 'NH3',
    points: points([0, 0.99821], [1, 0.9938], [5, 0.977], [10, 0.9575], [30, 0.892]),
    source: `${crc}; ${water}`,
    rises: null,
  },
  {
    id: 'acetic-acid',
    solute: 'acetic acid',
    formula: 'C2H4O2',
    points: points([0, 0.99821], [1, 0.9996], [10, 1.0121], [20, 1.025], [50, 1.0562], [100, 1.0477]),
    source: `${crc}; ${water}`,
    rises: { upToPercent: 50 },
  },
  {
    id: 'ethanol',
    solute: 'ethanol',
    formula: 'C2H6O',
    points: points(
      [0, 0.99821],
      [10, 0.98187],
      [20, 0.96864],
      [30, 0.95382],
      [40, 0.93518],
      [50, 0.91384],
      [60, 0.89113],
      [70, 0.86766],
      [80, 0.84344],
      [90, 0.81797],
      [100, 0.78934],
    ),
    // From memory, not checked against the print.
    source: perry,
    rises: null,
  },
  {
    id: 'phosphoric-acid',
    solute: 'phosphoric acid',
    formula: 'H3PO4',
    points: points([0, 0.99821], [10, 1.0531], [20, 1.1135], [30, 1.1804]),
    source: `${crc}; ${water}`,
    rises: null,
  },
  {
    id: 'sodium-hydroxide',
    solute: 'sodium hydroxide',
    formula: 'NaOH',
    points: points([0, 0.99821], [10, 1.1089], [20, 1.219], [30, 1.328], [50, 1.525]),
    // 20 to 50 % from memory, not checked against a print; held against the correlation.
    source: `10 %: ${crc}; 20 to 50 %: usual table values, within 0.6 % of the correlation of Laliberté (2009)`,
    rises: null,
  },
  {
    id: 'formic-acid',
    solute: 'formic acid',
    formula: 'CH2O2',
    points: points([0, 0.99821], [10, 1.0224], [20, 1.0467]),
    source: `${crc}; ${water}`,
    rises: null,
  },
];

/** Published table of a solute by its id; undefined for one that is not tabulated. */
export const densityTableById = (id: string): DensityTable | undefined =>
  densityTables.find((table) => table.id === id);

/** Wider gaps than this between two points are not bridged by a straight line. */
const widestGapPercent = 20;

export interface LookedUp {
  readonly value: number;
  readonly between: readonly [Point, Point];
}

/**
 * Density of a solution at 20 °C, g/mL, on the straight line between two published points.
 *
 * @param percent mass fraction, % w/w
 * @error outside-density-table (facts least, most); density-gap where the neighbours lie more than
 *   20 % apart: a straight line would be a guess there
 * @source the table's own; interpolation error up to about 0.0015 g/mL between points 10 % apart, 0.004 between
 *   points 20 % apart (sulfuric acid, 20 % w/w: 1.1394 in print)
 */
export function densityAt(table: DensityTable, percent: number, where: string): Result<LookedUp, Problem> {
  const { points: list } = table;
  const first = list[0] as Point;
  const last = list.at(-1) as Point;
  if (!(percent >= first.percent && percent <= last.percent)) {
    return fail({
      code: 'outside-density-table',
      where,
      facts: { solute: table.solute, least: first.percent, most: last.percent, percent },
    });
  }
  const above = list.findIndex((point) => point.percent >= percent);
  const high = list[above] as Point;
  if (high.percent === percent) return ok({ value: high.densityGPerMl, between: [high, high] });
  const low = list[above - 1] as Point;
  if (high.percent - low.percent > widestGapPercent) {
    return fail({
      code: 'density-gap',
      where,
      facts: { solute: table.solute, from: low.percent, to: high.percent, percent },
    });
  }
  const share = (percent - low.percent) / (high.percent - low.percent);
  return ok({
    value: low.densityGPerMl + share * (high.densityGPerMl - low.densityGPerMl),
    between: [low, high],
  });
}

/**
 * Strength from a measured density at 20 °C, % w/w, where one density means one strength.
 *
 * @error density-ambiguous in the range where the table does not rise or fall steadily;
 *   outside-density-table; density-gap
 */
export function strengthAt(
  table: DensityTable,
  densityGPerMl: number,
  where: string,
): Result<LookedUp, Problem> {
  const usable =
    table.rises === null
      ? table.points
      : table.points.filter((point) => point.percent <= (table.rises?.upToPercent ?? 100));
  // A density that a strength beyond the steady part also has could mean either.
  const beyond = table.points.slice(usable.length);
  const steadyEnd = usable.at(-1) as Point;
  const lowestBeyond = Math.min(...beyond.map((point) => point.densityGPerMl), steadyEnd.densityGPerMl);
  if (beyond.length > 0 && densityGPerMl >= lowestBeyond) {
    return fail({ code: 'density-ambiguous', where, facts: { solute: table.solute, from: lowestBeyond } });
  }
  for (let i = 1; i < usable.length; i += 1) {
    const low = usable[i - 1] as Point;
    const high = usable[i] as Point;
    const share = (densityGPerMl - low.densityGPerMl) / (high.densityGPerMl - low.densityGPerMl);
    if (share >= 0 && share <= 1) {
      if (high.percent - low.percent > widestGapPercent) {
        return fail({
          code: 'density-gap',
          where,
          facts: { solute: table.solute, from: low.percent, to: high.percent, percent: 0 },
        });
      }
      return ok({ value: low.percent + share * (high.percent - low.percent), between: [low, high] });
    }
  }
  return fail({
    code: 'outside-density-table',
    where,
    facts: {
      solute: table.solute,
      least: table.points[0]?.percent ?? 0,
      most: table.points.at(-1)?.percent ?? 0,
      percent: densityGPerMl,
    },
  });
}
