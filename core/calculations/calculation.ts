import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import type { Section, WorksheetInput } from '../record/content.ts';
import type { Working } from '../workings/working.ts';

/** One thing a calculation asks for. The label is what stands before the box. */
export type CalculationField =
  | {
      readonly kind: 'quantity';
      readonly key: string;
      readonly label: string;
      readonly dimension: Dimension;
      /** The unit a blank box starts with; any unit of the dimension may be typed instead. */
      readonly unit: UnitSymbol;
      readonly isOptional: boolean;
      readonly hint: string;
    }
  | {
      readonly kind: 'choice';
      readonly key: string;
      readonly label: string;
      readonly options: readonly { readonly key: string; readonly label: string }[];
      readonly hint: string;
    }
  | {
      readonly kind: 'formula';
      readonly key: string;
      readonly label: string;
      readonly isOptional: boolean;
      readonly hint: string;
    }
  | {
      /** Rows of the same few quantities: weighings, standards, solubility points. */
      readonly kind: 'series';
      readonly key: string;
      readonly label: string;
      readonly columns: readonly {
        readonly key: string;
        readonly label: string;
        readonly dimension: Dimension;
        readonly unit: UnitSymbol;
      }[];
      readonly atLeast: number;
      readonly hint: string;
    };

/** A sentence that goes with the numbers: how far to trust them, what to do, what to mind. */
export interface Statement {
  readonly tone: 'result' | 'advice' | 'caution' | 'doubt';
  readonly text: string;
}

export interface Outcome {
  /** In the order a person would write them down; the last answers the question asked. */
  readonly workings: readonly Working[];
  /** Ids of the workings that answer the question. */
  readonly answers: readonly string[];
  readonly statements: readonly Statement[];
  /** What is missing or wrong, each naming its field in `where`. Answers that do not need it still come. */
  readonly problems: readonly Problem[];
}

export type CalculationInputs = Readonly<Record<string, WorksheetInput>>;

/**
 * A calculation of the practical laboratory beside the reagent table. Screens, PDF and command
 * line all drive it through this shape, so a new one needs no new form and no new report.
 */
export interface Calculation {
  readonly id: string;
  readonly title: string;
  /** What it answers, in one sentence. */
  readonly purpose: string;
  /** The heading of the entry it belongs under. */
  readonly section: Section;
  readonly fields: readonly CalculationField[];
  /** A filled-in example with a published answer, for the first-time user and the tests. */
  readonly example: CalculationInputs;
  /** Never throws for any input; never returns a number that is not finite. */
  readonly work: (inputs: CalculationInputs) => Outcome;
}
