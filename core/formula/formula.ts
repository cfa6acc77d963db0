import type { Problem } from '../result.ts';

/** Atoms of one nuclide or element in a formula unit. */
export interface ElementCount {
  /** IUPAC symbol; deuterium and tritium are H with a mass number. */
  readonly element: string;
  /** Mass number where the formula names an isotope, else null for the natural mixture. */
  readonly massNumber: number | null;
  /** Atoms per formula unit; a fraction where the hydrate number is one. */
  readonly count: number;
  /** Exact: atoms in `Formula.denominator` formula units. */
  readonly atoms: number;
}

/** A formula as typed, understood. */
export interface Formula {
  /** Trimmed, otherwise to the letter. */
  readonly text: string;
  /** In order of first appearance, one entry per element and isotope. */
  readonly elements: readonly ElementCount[];
  /** Formula units over which all atom counts are whole: 2 for `CdCl2·2.5H2O`, else 1. */
  readonly denominator: number;
  /** Charge number with its sign; 0 for a neutral formula. */
  readonly charge: number;
  /** As printed, light markup: `SO_{4}^{2−}`. */
  readonly markup: string;
  /** Readings that are possible but unlikely: `Co2` is dicobalt; carbon dioxide is `CO2`. */
  readonly doubts: readonly Problem[];
}
