import type { Dimension } from './unit.ts';

/**
 * How the figures of an instrument were come by: `printed` in the standard named, `quoted` by a
 * source that quotes the standard, `memory` (right as far as known), `practice` (common practice, no source).
 */
export type FigureStatus = 'printed' | 'quoted' | 'memory' | 'practice';

export type InstrumentKind =
  | 'balance'
  | 'cylinder'
  | 'one-mark-pipette'
  | 'graduated-pipette'
  | 'burette'
  | 'one-mark-flask'
  | 'dropper';

export interface Instrument {
  readonly id: string;
  readonly kind: InstrumentKind;
  readonly name: string;
  readonly measures: Extract<Dimension, 'mass' | 'volume'>;
  /** Nominal capacity, mL; null for a balance. */
  readonly capacityMl: number | null;
  readonly glassClass: 'A' | 'B' | null;
  /** Standard and edition, or what stands in for one. */
  readonly standard: string;
  readonly status: FigureStatus;
  /** ± limit of the capacity, mL; null for a balance. Rectangular. */
  readonly toleranceMl: number | null;
  /** ± limit of one reading: half a graduation, mL (triangular), or the readability, g (rectangular). */
  readonly reading: number | null;
  /** Readings per measurement: a balance is read empty and full, a burette before and after. */
  readonly readingsPerMeasurement: 1 | 2;
}

const astmCylinder = 'ASTM E1272-02 (2012), table 1';
const isoCylinder = 'ISO 4788; class A as in the German Eichordnung, annex 12, 5.2';
const astmFlask = 'ASTM E288';
const isoFlask = 'ISO 1042; class A as in the German Eichordnung, annex 12, 3.2';
const astmPipette = 'ASTM E969';
const isoPipette = 'ISO 648';
const uspPipette = 'USP chapter 31';
const astmBurette = 'ASTM E287';
const isoBurette = 'ISO 385';

/**
 * [capacity mL, class A ± mL, class B ± mL, graduation mL]. For 10 and 25 mL the standard has two
 * graduations, 0.1 or 0.2 and 0.2 or 0.5: the coarser one is taken, so that a reading is not made too good.
 */
const astmCylinders: readonly (readonly [number, number, number, number])[] = [
  [5, 0.05, 0.1, 0.1],
  [10, 0.1, 0.2, 0.2],
  [25, 0.17, 0.34, 0.5],
  [50, 0.25, 0.5, 1],
  [100, 0.5, 1, 1],
  [250, 1, 2, 2],
  [500, 2, 4, 5],
];
/** Class A is half a graduation, which is also what the Eichordnung says of cylinders to contain. */
const isoCylinders: readonly (readonly [number, number, number, number])[] = [
  [10, 0.1, 0.2, 0.2],
  [25, 0.25, 0.5, 0.5],
  [50, 0.5, 1, 1],
  [100, 0.5, 1, 1],
  [250, 1, 2, 2],
  [500, 2.5, 5, 5],
  [1000, 5, 10, 10],
];
/** [capacity mL, class A ± mL]; class B is twice. */
const astmFlasks = [
  [25, 0.03],
  [50, 0.05],
  [100, 0.08],
  [250, 0.12],
  [1000, 0.3],
] as const;
const isoFlasks = [
  [10, 0.025],
  [20, 0.04],
  [25, 0.04],
  [50, 0.06],
  [100, 0.1],
  [200, 0.15],
  [250, 0.15],
  [500, 0.25],
  [1000, 0.4],
] as const;
const astmPipettes = [
  [1, 0.006],
  [5, 0.01],
  [10, 0.02],
  [25, 0.03],
  [50, 0.05],
  [100, 0.08],
] as const;
const isoPipettes = [
  [5, 0.015],
  [10, 0.02],
  [20, 0.03],
  [25, 0.03],
  [50, 0.05],
] as const;
/** [capacity mL, ± mL, graduation mL]; graduations are from memory. */
const graduatedPipettes = [
  [2, 0.01, 0.02],
  [5, 0.02, 0.05],
  [10, 0.03, 0.1],
] as const;
/** [capacity mL, class A ± mL, graduation mL, standard]; class B is twice. */
const burettes = [
  [10, 0.02, 0.05, astmBurette],
  [25, 0.03, 0.1, astmBurette],
  [25, 0.05, 0.1, isoBurette],
  [50, 0.05, 0.1, astmBurette],
  [100, 0.1, 0.2, astmBurette],
] as const;

const balance = (readability: number, name: string): Instrument => ({
  id: `balance-${readability}`,
  kind: 'balance',
  name,
  measures: 'mass',
  capacityMl: null,
  glassClass: null,
  standard: "readability as the limit of each reading; add the maker's linearity where it is known",
  status: 'practice',
  toleranceMl: null,
  reading: readability,
  readingsPerMeasurement: 2,
});

interface Glass {
  readonly kind: InstrumentKind;
  readonly noun: string;
  readonly series: string;
  readonly standard: string;
  readonly status: FigureStatus;
  readonly readings: 1 | 2;
}

const glass = (
  { kind, noun, series, standard, status, readings }: Glass,
  capacityMl: number,
  glassClass: 'A' | 'B',
  toleranceMl: number,
  graduationMl: number | null,
): Instrument => ({
  id: `${kind}-${series}-${capacityMl}-${glassClass.toLowerCase()}`,
  kind,
  name: `${capacityMl} mL ${noun}, class ${glassClass}`,
  measures: 'volume',
  capacityMl,
  glassClass,
  standard,
  status,
  toleranceMl,
  reading: graduationMl === null ? null : graduationMl / 2,
  readingsPerMeasurement: readings,
});

const bothClasses = (family: Glass, rows: readonly (readonly [number, number])[]): readonly Instrument[] =>
  rows.flatMap(([capacity, tolerance]) => [
    glass(family, capacity, 'A', tolerance, null),
    glass(family, capacity, 'B', tolerance * 2, null),
  ]);

const cylinders = (
  series: string,
  standard: string,
  status: FigureStatus,
  rows: readonly (readonly [number, number, number, number])[],
): readonly Instrument[] => {
  const family: Glass = {
    kind: 'cylinder',
    noun: 'measuring cylinder',
    series,
    standard,
    status,
    readings: 1,
  };
  return rows.flatMap(([capacity, a, b, graduation]) => [
    glass(family, capacity, 'A', a, graduation),
    glass(family, capacity, 'B', b, graduation),
  ]);
};

const flask = { kind: 'one-mark-flask', noun: 'volumetric flask', readings: 1 } as const;
const pipette = { kind: 'one-mark-pipette', noun: 'one-mark pipette', readings: 1 } as const;

/**
 * What a teaching laboratory measures with, each with its published limits. Marks on flasks and
 * one-mark pipettes have no graduation; setting the meniscus is counted in the tolerance.
 */
export const instruments: readonly Instrument[] = [
  balance(0.01, 'balance (0.01 g)'),
  balance(0.001, 'balance (0.001 g)'),
  balance(0.0001, 'balance (0.0001 g)'),
  ...cylinders('astm', astmCylinder, 'printed', astmCylinders),
  ...cylinders('iso', isoCylinder, 'quoted', isoCylinders),
  ...bothClasses({ ...pipette, series: 'astm', standard: astmPipette, status: 'quoted' }, astmPipettes),
  ...bothClasses({ ...pipette, series: 'iso', standard: isoPipette, status: 'memory' }, isoPipettes),
  ...graduatedPipettes.map(([capacity, tolerance, graduation]) => ({
    ...glass(
      {
        kind: 'graduated-pipette',
        noun: 'graduated pipette',
        series: 'usp',
        standard: uspPipette,
        status: 'printed',
        readings: 2,
      },
      capacity,
      'A',
      tolerance,
      graduation,
    ),
    glassClass: null,
    id: `graduated-pipette-usp-${capacity}`,
    name: `${capacity} mL graduated pipette`,
  })),
  ...burettes.flatMap(([capacity, tolerance, graduation, standard]) => {
    const series = standard === astmBurette ? 'astm' : 'iso';
    const family: Glass = {
      kind: 'burette',
      noun: 'burette',
      series,
      standard,
      status: 'memory',
      readings: 2,
    };
    return [
      glass(family, capacity, 'A', tolerance, graduation),
      glass(family, capacity, 'B', tolerance * 2, graduation),
    ];
  }),
  ...bothClasses({ ...flask, series: 'astm', standard: astmFlask, status: 'quoted' }, astmFlasks),
  ...bothClasses({ ...flask, series: 'iso', standard: isoFlask, status: 'quoted' }, isoFlasks),
  {
    id: 'dropper-3',
    kind: 'dropper',
    name: '3 mL graduated dropper',
    measures: 'volume',
    capacityMl: 3,
    glassClass: null,
    standard: 'about 5 % of the capacity',
    status: 'practice',
    toleranceMl: 0.15,
    reading: 0.25,
    readingsPerMeasurement: 1,
  },
];

const byId: ReadonlyMap<string, Instrument> = new Map(instruments.map((one) => [one.id, one]));

/** @returns null for an id that is not in the list */
export const instrumentById = (id: string): Instrument | null => byId.get(id) ?? null;
