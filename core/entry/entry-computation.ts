import type { Calculation, Outcome } from '../calculations/calculation.ts';
import type { GreenMetrics } from '../green/green-metrics.ts';
import type { StepAssessment } from '../procedure/assess-steps.ts';
import type { SessionPlan } from '../procedure/session-plan.ts';
import type { IdentityVerdict } from '../reaction/identity.ts';
import type { ReagentTable } from '../reaction/table-types.ts';
import type { OverallYield } from '../reaction/overall-yield.ts';
import type { Yields } from '../reaction/yields.ts';
import type { Section, Worksheet } from '../record/content.ts';
import type { Problem } from '../result.ts';
import type { Working } from '../workings/working.ts';

/** A place where what was done differs from what was intended. */
export interface Deviation {
  readonly section: Section;
  /** Id of the row or step it stands at; null for the section as a whole. */
  readonly anchor: string | null;
  /** "salicylic acid: 2.5 % more than planned", "step 3: 6 °C too warm" */
  readonly sentence: string;
  /** To sort by: 1 is worth a question. */
  readonly size: number;
  /** True when the student wrote why (at the step, or in the row's remark). */
  readonly isExplained: boolean;
}

/** A verdict on a physical constant with its findings in words. */
export interface SpokenVerdict extends IdentityVerdict {
  readonly sentences: readonly string[];
}

export interface ComputedWorksheet {
  readonly worksheet: Worksheet;
  /** Null for a calculation this program does not know; then `outcome` is null too. */
  readonly calculation: Calculation | null;
  readonly outcome: Outcome | null;
}

/** Everything an entry implies. Pure: the same content gives the same computation. */
export interface EntryComputation {
  readonly table: ReagentTable;
  readonly yields: Yields;
  /** Over linked entries: one for each starting material; none where no row comes from an entry. */
  readonly overallYields: readonly OverallYield[];
  /** Of what was taken, on the pure product, or on the crude one while nothing pure is weighed. */
  readonly green: GreenMetrics;
  /** How sure the limiting reagent is, in a sentence; empty when there is none yet. */
  readonly limitingText: { readonly planned: string; readonly taken: string };
  readonly melting: SpokenVerdict | null;
  readonly boiling: SpokenVerdict | null;
  readonly refraction: SpokenVerdict | null;
  readonly steps: readonly StepAssessment[];
  readonly session: SessionPlan;
  readonly worksheets: readonly ComputedWorksheet[];
  /** Largest first. */
  readonly deviations: readonly Deviation[];
  /** Every working of the entry, each id once. */
  readonly workings: readonly Working[];
  /** The ones a student writes out, in the order of the argument: for the Calculation section. */
  readonly calculation: readonly Working[];
  /** What is wrong or questionable; headings left blank are in `blanks`. */
  readonly doubts: readonly Problem[];
  /** Headings without a word: code `section-blank`, `where` the section. */
  readonly blanks: readonly Problem[];
}
