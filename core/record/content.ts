import type { Entered } from '../quantity/quantity.ts';
import type { ReagentRow } from '../reaction/table-types.ts';

/** An instant as the program saw it, with a correction where the person made one. */
export interface TimeMark {
  /** UTC, ISO 8601 with milliseconds and `Z`. */
  readonly at: string;
  /** Minutes east of UTC where it was taken. */
  readonly offsetMinutes: number;
  readonly correction: { readonly at: string; readonly reason: string } | null;
}

/** The headings of an entry: where a comment can be anchored, and the order they print in. */
export const sections = [
  'aim',
  'principle',
  'requirements',
  'hazards',
  'reagents',
  'procedure',
  'observations',
  'calculation',
  'result',
  'discussion',
] as const;
export type Section = (typeof sections)[number];

/** A window a step must keep to. Either end may be open. */
export type StepLimit =
  | { readonly kind: 'temperature'; readonly from: Entered | null; readonly to: Entered | null }
  | { readonly kind: 'duration'; readonly from: Entered | null; readonly to: Entered | null }
  | { readonly kind: 'addition-rate'; readonly from: Entered | null; readonly to: Entered | null };

export interface PlannedStep {
  readonly id: string;
  /**
   * Plain sentence; `{mass:rowId}`, `{volume:rowId}`, `{amount:rowId}` and `{name:rowId}` are
   * filled from the reagent table, so that scaling the table scales the procedure.
   */
  readonly text: string;
  readonly caution: string;
  readonly limits: readonly StepLimit[];
  /** A point at which the work may safely be left, with what "safely" means here. */
  readonly holdPoint: string;
  /** Planned time for the session plan, minutes as typed. */
  readonly plannedMinutes: Entered | null;
}

export interface Reading {
  readonly id: string;
  readonly kind: 'temperature' | 'duration' | 'volume' | 'mass' | 'rate' | 'acidity' | 'other';
  readonly entered: Entered;
  readonly mark: TimeMark;
  readonly remark: string;
}

export interface StepRecord {
  readonly stepId: string;
  readonly started: TimeMark | null;
  readonly done: TimeMark | null;
  readonly readings: readonly Reading[];
  /** What was seen. */
  readonly seen: string;
  /** Why the step was done otherwise, when it was. */
  readonly deviation: string;
}

export interface FreeNote {
  readonly id: string;
  /** The step it belongs to, or null for the preparation as a whole. */
  readonly stepId: string | null;
  readonly text: string;
  readonly mark: TimeMark;
}

/** The product as weighed after a stage; tare and gross when weighed by difference. */
export interface Weighing {
  readonly mass: Entered | null;
  readonly instrument: string | null;
}

export interface ResultRecord {
  readonly crude: Weighing;
  readonly pure: Weighing;
  readonly meltingRange: { readonly from: Entered | null; readonly to: Entered | null };
  readonly boilingRange: {
    readonly from: Entered | null;
    readonly to: Entered | null;
    readonly pressure: Entered | null;
  };
  readonly refractiveIndex: { readonly value: Entered | null; readonly temperature: Entered | null };
  readonly appearance: string;
}

/** Published values the result is held against, with where they come from. */
export interface LiteratureValues {
  readonly meltingRange: {
    readonly from: Entered;
    readonly to: Entered | null;
    readonly source: string;
  } | null;
  readonly boilingPoint: {
    readonly value: Entered;
    readonly pressure: Entered | null;
    readonly source: string;
  } | null;
  readonly refractiveIndex: {
    readonly value: Entered;
    readonly temperature: Entered;
    readonly source: string;
  } | null;
}

export interface HazardNote {
  readonly rowId: string | null;
  readonly substance: string;
  readonly signalWord: '' | 'Danger' | 'Warning';
  /** GHS hazard statement codes: `H302`. */
  readonly statements: readonly string[];
  /** GHS pictogram codes: `GHS07`. */
  readonly pictograms: readonly string[];
  readonly source: string;
}

export interface AttachmentNote {
  readonly sha256: string;
  readonly name: string;
  readonly mediaType: string;
  readonly sizeBytes: number;
  readonly section: Section;
  readonly caption: string;
}

/**
 * A calculation beside the reagent table (a dilution, a recrystallisation, a stem correction…):
 * which one, and what was typed into its fields. What it gives is computed, never stored here.
 */
export interface Worksheet {
  readonly id: string;
  /** Id of a calculation in `core/calculations`. */
  readonly calculation: string;
  /** Field key → what was typed; a choice is its key; a series is a list of such records. */
  readonly inputs: Readonly<Record<string, WorksheetInput>>;
  readonly remark: string;
}
export type WorksheetInput = Entered | string | readonly Readonly<Record<string, Entered | string>>[];

/** Everything an entry says: what a draft holds and what a version freezes. */
export interface EntryContent {
  readonly format: 'fairleaf-entry/1';
  readonly title: string;
  /** Procedure template it was begun from, with its version; null for an own preparation. */
  readonly template: { readonly id: string; readonly version: string } | null;
  /** Day of the practical, local calendar date `YYYY-MM-DD`. */
  readonly date: string;
  readonly aim: string;
  readonly principle: string;
  /** As typed: `C7H6O3 + C4H6O3 -> C9H8O4 + C2H4O2`. */
  readonly equation: string;
  readonly requirements: readonly string[];
  readonly hazards: readonly HazardNote[];
  readonly precautions: string;
  readonly rows: readonly ReagentRow[];
  /** Row of role `product` that yields refer to. */
  readonly productRowId: string | null;
  readonly steps: readonly PlannedStep[];
  readonly stepRecords: readonly StepRecord[];
  readonly notes: readonly FreeNote[];
  /** The student's own words about the calculation; the workings are computed. */
  readonly calculation: string;
  readonly worksheets: readonly Worksheet[];
  readonly expectedYield: Entered | null;
  readonly result: ResultRecord;
  readonly literature: LiteratureValues;
  readonly discussion: string;
  readonly attachments: readonly AttachmentNote[];
}
