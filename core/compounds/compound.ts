import type { Entered } from '../quantity/quantity.ts';
import type { GhsPictogram } from './ghs.ts';
import type { IncompatibilityGroup } from './incompatibility.ts';
import type { SourceKey } from './sources.ts';

/**
 * One published number: digits as printed, unit, source.
 *
 * `Source` is a key of the shipped sources; for a compound of the department's own it is text, as typed.
 */
export interface Published<Source = SourceKey> {
  readonly value: Entered;
  readonly source: Source;
  /** What a reader has to know to use it: decomposes, sublimes, of the melt. */
  readonly note: string;
}

export interface PublishedAt<Source = SourceKey> extends Published<Source> {
  /** The temperature the value belongs to; null only where the source does not give one. */
  readonly temperature: Entered | null;
}

/** A melting or boiling point; `to` only where the source gives a range. */
export interface PublishedRange<Source = SourceKey> extends Published<Source> {
  readonly to?: Entered;
}

export interface BoilingPoint<Source = SourceKey> extends PublishedRange<Source> {
  /** Null means normal pressure, 101.325 kPa. */
  readonly pressure: Entered | null;
}

export interface Acidity<Source = SourceKey> extends PublishedAt<Source> {
  /** Which proton: 1 is the first. For a base it is the pKa of its conjugate acid, said in the note. */
  readonly step: number;
}

/**
 * Solubility in one solvent at several temperatures: what a recrystallisation is planned from. In g/L of
 * solvent or in % w/w of the saturated solution, as the source prints it.
 */
export interface Solubility<Source = SourceKey> {
  readonly solvent: string;
  readonly points: readonly { readonly temperature: Entered; readonly solubility: Entered }[];
  readonly source: Source;
  readonly note: string;
}

/**
 * GHS classification for supply. It informs; the supplier's safety data sheet, the local rules and the
 * person in charge decide.
 */
export interface Hazards<Source = SourceKey> {
  readonly signalWord: '' | 'Danger' | 'Warning';
  readonly pictograms: readonly GhsPictogram[];
  /** Hazard statement codes; a combination is one code, `H302+H312`. */
  readonly statements: readonly string[];
  readonly precautions: readonly string[];
  readonly source: Source;
  readonly note: string;
}

export interface Storage<Source = SourceKey> {
  readonly group: IncompatibilityGroup;
  readonly text: string;
  readonly source: Source;
}

/** A strength in which the substance usually comes out of the bottle. */
export interface StockStrength<Source = SourceKey> {
  readonly massFraction: Entered;
  readonly density: Entered;
  /** Null where the source gives a specific gravity without its temperature. */
  readonly temperature: Entered | null;
  readonly source: Source;
  readonly note: string;
}

export type CompoundFamily =
  | 'hydrocarbon'
  | 'halide'
  | 'alcohol'
  | 'phenol'
  | 'ether'
  | 'aldehyde-or-ketone'
  | 'carboxylic-acid'
  | 'acid-derivative'
  | 'amine'
  | 'amide'
  | 'nitrogen-compound'
  | 'sulfur-or-phosphorus-compound'
  | 'natural-product'
  | 'indicator-or-dye'
  | 'solvent'
  | 'acid'
  | 'base'
  | 'salt'
  | 'oxidant'
  | 'reductant'
  | 'metal-compound'
  | 'element'
  | 'drying-agent';

/** A substance of the teaching laboratory. A field that no named source fills stays null or empty. */
export interface Compound<Source = SourceKey> {
  readonly id: string;
  readonly name: string;
  readonly synonyms: readonly string[];
  readonly family: CompoundFamily;
  /** As on the bottle, hydrate water included; readable by `parseFormula`. */
  readonly formula: string;
  readonly smiles: string;
  /** Chemical Abstracts registry number; null where none is known to this library. */
  readonly registryNumber: string | null;
  /** How it stands on the shelf at 20 °C. */
  readonly form: 'solid' | 'liquid' | 'gas' | 'solution';
  readonly meltingPoint: PublishedRange<Source> | null;
  readonly boilingPoint: BoilingPoint<Source> | null;
  readonly density: PublishedAt<Source> | null;
  /** For the sodium D line. */
  readonly refractiveIndex: PublishedAt<Source> | null;
  readonly heatOfFusion: Published<Source> | null;
  readonly solubilities: readonly Solubility<Source>[];
  readonly acidities: readonly Acidity<Source>[];
  readonly stockStrengths: readonly StockStrength<Source>[];
  readonly hazards: Hazards<Source> | null;
  readonly storage: Storage<Source> | null;
}
