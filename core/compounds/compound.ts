import type { Entered } from '../quantity/quantity.ts';
import type { GhsPictogram } from './ghs.ts';
import type { IncompatibilityGroup } from './incompatibility.ts';
import type { SourceKey } from './sources.ts';

/** One published number: digits as printed, unit, source. */
export interface Published {
  readonly value: Entered;
  readonly source: SourceKey;
  /** What a reader has to know to use it: decomposes, sublimes, of the melt. */
  readonly note: string;
}

export interface PublishedAt extends Published {
  /** The temperature the value belongs to; null only where the source does not give one. */
  readonly temperature: Entered | null;
}

export interface BoilingPoint extends Published {
  /** Null means normal pressure, 101.325 kPa. */
  readonly pressure: Entered | null;
}

export interface Acidity extends PublishedAt {
  /** Which proton: 1 is the first. For a base it is the pKa of its conjugate acid, said in the note. */
  readonly step: number;
}

/** Solubility in one solvent at several temperatures: what a recrystallisation is planned from. */
export interface Solubility {
  readonly solvent: string;
  readonly points: readonly { readonly temperature: Entered; readonly solubility: Entered }[];
  readonly source: SourceKey;
  readonly note: string;
}

/**
 * GHS classification for supply. It informs; the supplier's safety data sheet, the local rules and the
 * person in charge decide.
 */
export interface Hazards {
  readonly signalWord: '' | 'Danger' | 'Warning';
  readonly pictograms: readonly GhsPictogram[];
  /** Hazard statement codes; a combination is one code, `H302+H312`. */
  readonly statements: readonly string[];
  readonly precautions: readonly string[];
  readonly source: SourceKey;
  readonly note: string;
}

export interface Storage {
  readonly group: IncompatibilityGroup;
  readonly text: string;
  readonly source: SourceKey;
}

/** A strength in which the substance usually comes out of the bottle. */
export interface StockStrength {
  readonly massFraction: Entered;
  readonly density: Entered;
  /** Null where the source gives a specific gravity without its temperature. */
  readonly temperature: Entered | null;
  readonly source: SourceKey;
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
export interface Compound {
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
  readonly meltingPoint: Published | null;
  readonly boilingPoint: BoilingPoint | null;
  readonly density: PublishedAt | null;
  /** For the sodium D line. */
  readonly refractiveIndex: PublishedAt | null;
  readonly heatOfFusion: Published | null;
  readonly solubilities: readonly Solubility[];
  readonly acidities: readonly Acidity[];
  readonly stockStrengths: readonly StockStrength[];
  readonly hazards: Hazards | null;
  readonly storage: Storage | null;
}
