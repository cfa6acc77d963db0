import type { CompoundFamily, Hazards } from './compound.ts';
import type { IncompatibilityGroup } from './incompatibility.ts';

/**
 * A compound of the department's own as its form holds it: every box as it was typed, blank where nothing
 * is known. Units are fixed by the box, so that a form holds nothing but what the source printed.
 */
export interface OwnCompoundContent {
  readonly format: 'fairleaf-compound/1';
  readonly name: string;
  readonly synonyms: readonly string[];
  /** Blank until it is chosen: no family and no state is taken for granted. */
  readonly family: CompoundFamily | '';
  readonly formula: string;
  /** SMILES. */
  readonly smiles: string;
  readonly registryNumber: string;
  readonly form: 'solid' | 'liquid' | 'gas' | 'solution' | '';
  /** °C; `to` is blank where the source gives one figure. */
  readonly melting: OwnRange;
  /** °C; blank pressure is normal pressure, 101.325 kPa. */
  readonly boiling: OwnRange & { readonly pressureKpa: string };
  /** g/mL at °C. */
  readonly density: OwnValueAt;
  /** Sodium D line at °C. */
  readonly refractiveIndex: OwnValueAt;
  /** kJ/mol. */
  readonly heatOfFusion: OwnSourced & { readonly value: string };
  /** pKa in order of the steps, each at °C. */
  readonly acidities: readonly OwnValueAt[];
  readonly solubilities: readonly OwnSolubility[];
  readonly stockStrengths: readonly OwnStockStrength[];
  readonly hazards: OwnSourced & {
    readonly signalWord: Hazards['signalWord'];
    readonly pictograms: readonly string[];
    /** `H302`; a combination is one code, `H302+H312`. */
    readonly statements: readonly string[];
    readonly precautions: readonly string[];
  };
  readonly storage: {
    readonly group: IncompatibilityGroup | '';
    readonly text: string;
    readonly source: string;
  };
}

/** Where a value comes from, in the department's words, and what a reader has to know to use it. */
export interface OwnSourced {
  readonly source: string;
  readonly note: string;
}
export interface OwnRange extends OwnSourced {
  readonly from: string;
  readonly to: string;
}
export interface OwnValueAt extends OwnSourced {
  readonly value: string;
  /** °C. */
  readonly temperature: string;
}
export interface OwnSolubility extends OwnSourced {
  readonly solvent: string;
  /** g/L at °C. */
  readonly points: readonly { readonly temperature: string; readonly solubility: string }[];
}
export interface OwnStockStrength extends OwnSourced {
  /** % w/w. */
  readonly percent: string;
  /** g/mL. */
  readonly density: string;
  /** °C. */
  readonly temperature: string;
}

/** Every family a compound can belong to, in the order they are offered. */
export const compoundFamilies = [
  'hydrocarbon',
  'halide',
  'alcohol',
  'phenol',
  'ether',
  'aldehyde-or-ketone',
  'carboxylic-acid',
  'acid-derivative',
  'amine',
  'amide',
  'nitrogen-compound',
  'sulfur-or-phosphorus-compound',
  'natural-product',
  'indicator-or-dye',
  'solvent',
  'acid',
  'base',
  'salt',
  'oxidant',
  'reductant',
  'metal-compound',
  'element',
  'drying-agent',
] as const satisfies readonly CompoundFamily[];

const noValue: OwnSourced = { source: '', note: '' };

/** A form nobody has written on yet. */
export const blankOwnCompound: OwnCompoundContent = {
  format: 'fairleaf-compound/1',
  name: '',
  synonyms: [],
  family: '',
  formula: '',
  smiles: '',
  registryNumber: '',
  form: '',
  melting: { from: '', to: '', ...noValue },
  boiling: { from: '', to: '', pressureKpa: '', ...noValue },
  density: { value: '', temperature: '', ...noValue },
  refractiveIndex: { value: '', temperature: '', ...noValue },
  heatOfFusion: { value: '', ...noValue },
  acidities: [],
  solubilities: [],
  stockStrengths: [],
  hazards: { signalWord: '', pictograms: [], statements: [], precautions: [], ...noValue },
  storage: { group: '', text: '', source: '' },
};
