import type { Problem } from '../result.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import type { Working } from '../workings/working.ts';

/** What a row does in the preparation. Only reactants compete to be the limiting reagent. */
export type RowRole =
  'reactant' | 'reagent' | 'catalyst' | 'solvent' | 'work-up' | 'drying-agent' | 'product' | 'by-product';

/**
 * Density of a solution as a whole, which weighing it out needs, with the temperature it belongs to.
 * Left out altogether in entries saved before it could be said, so that their bytes stay what they were.
 */
interface WeighedSolution {
  readonly density?: Entered | null;
  readonly densityTemperature?: Entered | null;
}

/** How strong a solution is, read as its label says; nothing is guessed from a bare "10 %". */
export type Strength =
  | (WeighedSolution & { readonly kind: 'amount-concentration'; readonly entered: Entered })
  | {
      readonly kind: 'mass-fraction';
      readonly entered: Entered;
      readonly density: Entered | null;
      readonly densityTemperature?: Entered | null;
    }
  | (WeighedSolution & { readonly kind: 'mass-per-volume'; readonly entered: Entered })
  | (WeighedSolution & {
      readonly kind: 'volume-fraction';
      readonly entered: Entered;
      /** Density of the pure liquid, not of the mixture. */
      readonly neatDensity: Entered | null;
    })
  | {
      readonly kind: 'molality';
      readonly entered: Entered;
      readonly density: Entered | null;
      readonly densityTemperature?: Entered | null;
    }
  | (WeighedSolution & {
      readonly kind: 'normality';
      readonly entered: Entered;
      /** Equivalents per mole in this reaction. */
      readonly equivalenceFactor: Entered | null;
    })
  | {
      readonly kind: 'parts-per-million';
      readonly entered: Entered;
      readonly density: Entered | null;
      readonly densityTemperature?: Entered | null;
    }
  /** "x : y": so many parts of a stock solution with so many parts of water, by volume. */
  | (WeighedSolution & {
      readonly kind: 'parts-by-volume';
      /** Amount concentration of the stock. */
      readonly entered: Entered;
      readonly stockParts: Entered | null;
      readonly waterParts: Entered | null;
    })
  /** Hydrogen peroxide by volumes of O₂ given off per volume, at 0 °C and 1 atm. */
  | (WeighedSolution & { readonly kind: 'oxygen-volumes'; readonly entered: Entered });

/** How the substance comes out of its bottle. Null fields are missing, and are said to be. */
export type Supply =
  | { readonly kind: 'solid'; readonly assay: Entered | null }
  | {
      readonly kind: 'neat-liquid';
      readonly density: Entered | null;
      readonly densityTemperature: Entered | null;
      readonly assay: Entered | null;
    }
  | { readonly kind: 'solution'; readonly strength: Strength | null }
  | { readonly kind: 'gas'; readonly temperature: Entered | null; readonly pressure: Entered | null };

/** How large the drops are that were counted: "20 drops make up 1.00 mL", or so many weigh so much. */
export interface DropSize {
  /** Drops counted off to find their size. */
  readonly drops: Entered | null;
  /** What those made up, a volume or a mass. */
  readonly make: Entered | null;
  /** ± limit of that, in a unit of the same kind; null: half a step of its last digit. */
  readonly uncertainty: Entered | null;
  /** ± limit of the count when measuring out, in drops; null: one drop. */
  readonly countUncertainty: Entered | null;
}

/** The one cell that was typed; all others of that side follow from it. */
export interface Measure {
  readonly by: 'mass' | 'volume' | 'amount' | 'equivalents' | 'mole-percent';
  readonly entered: Entered;
  /** Id of the instrument used (see `core/quantity/instruments`), or null when not said. */
  readonly instrument: string | null;
  /** Only with a number of drops. Left out where nothing was said, as in entries saved before it could be. */
  readonly drop?: DropSize;
}

/** A preparation that came before in a line of linked entries, as it stood when it was referred to. */
export interface EarlierStage {
  readonly entryId: string;
  readonly entryNumber: number;
  readonly title: string;
  /** Its pure percentage yield as its entry prints it, %; null where it has none. */
  readonly yield: Entered | null;
  /** Standard uncertainty of that, in percentage points; null where none was printed. */
  readonly yieldUncertainty: Entered | null;
}

/** The earlier entry that a row's substance was made in. */
export interface RowOrigin extends EarlierStage {
  readonly recordId: string;
  /** Pure product weighed there. */
  readonly mass: Entered | null;
  /** The entries before that one, the nearest first: one line for each of its own starting materials. */
  readonly lines: readonly (readonly EarlierStage[])[];
}

export interface ReagentRow {
  readonly id: string;
  readonly name: string;
  /** As on the bottle, hydrate water included. */
  readonly formula: string;
  /** As it stands in the equation; differs from `formula` for a hydrate or a source of an ion. */
  readonly equationFormula: string;
  /** Units of `equationFormula` that one unit of `formula` brings. */
  readonly unitsPerFormula: number;
  readonly compoundId: string | null;
  /**
   * Where formula, structure and density were taken from, in words; not there for the shipped library and
   * for what was typed. Goes as soon as one of them is changed by hand.
   */
  readonly valuesFrom?: string;
  readonly smiles: string | null;
  readonly role: RowRole;
  readonly supply: Supply;
  /** Null for what was bought. */
  readonly origin: RowOrigin | null;
  readonly planned: Measure | null;
  readonly taken: Measure | null;
  /** Bottle, batch, whatever should be found again. */
  readonly remark: string;
}

/** A cell that is computed, blocked by something missing, or does not apply to the row. */
export type Cell =
  | {
      readonly state: 'known';
      readonly quantity: Quantity;
      /** True for the one cell that was typed. */
      readonly isEntered: boolean;
      readonly working: Working | null;
    }
  | { readonly state: 'blocked'; readonly problems: readonly Problem[] }
  | { readonly state: 'none' };

export interface RowSide {
  /** Of what is measured out, solvent and impurities included; g. A typed cell keeps its unit. */
  readonly mass: Cell;
  /** mL */
  readonly volume: Cell;
  /** Of the substance itself; mmol, from one mole on mol. */
  readonly amount: Cell;
  /** Amount ÷ coefficient, relative to the limiting reagent. */
  readonly equivalents: Cell;
  /** (equivalents − 1) × 100 for reactants. */
  readonly excess: Cell;
}

export interface ComputedRow {
  readonly rowId: string;
  readonly molarMass: Cell;
  /** Stoichiometric coefficient from the balanced equation; null when the row is not in it. */
  readonly coefficient: number | null;
  readonly planned: RowSide;
  readonly taken: RowSide;
  /** (taken − planned) ÷ planned, in %, on the measured cell; `none` until both are known. */
  readonly difference: Cell;
  /** Everything wrong or missing in this row, each naming its field: `rows.<id>.supply.density`. */
  readonly problems: readonly Problem[];
}

/** Which reactant runs out first, and how sure that is. */
export type LimitingVerdict =
  | {
      readonly state: 'found';
      readonly rowId: string;
      /** Extent n/ν of the limiting reagent. */
      readonly extent: Quantity;
      /** The next reactant and how far behind: margin = (ξ next − ξ lim) / ξ lim, as a fraction. */
      readonly runnerUp: {
        readonly rowId: string;
        readonly extent: Quantity;
        readonly margin: number;
        /** Probability that `rowId` really is the limiting one; null when uncertainties are unknown. */
        readonly probability: number | null;
      } | null;
      /**
       * False when the uncertainties of measuring cannot tell the two apart: the margin is smaller
       * than its expanded uncertainty (k = 2), so that the probability stays below Φ(2) = 0.977.
       */
      readonly isCertain: boolean;
      /** Extents of all that competed, in table order. */
      readonly extents: readonly Working[];
      readonly working: Working;
    }
  | { readonly state: 'blocked'; readonly problems: readonly Problem[] }
  | { readonly state: 'none' };

export interface TableSide {
  readonly limiting: LimitingVerdict;
  /** Mass of the main product for complete conversion, g. */
  readonly theoreticalYield: Cell;
  /** The same if the runner-up limits instead; `none` when the verdict is certain. */
  readonly theoreticalYieldIfOther: Cell;
}

export interface ReagentTable {
  readonly rows: readonly ComputedRow[];
  readonly planned: TableSide;
  readonly taken: TableSide;
  /** Problems of the equation as a whole: unbalanced, product missing… */
  readonly problems: readonly Problem[];
}
