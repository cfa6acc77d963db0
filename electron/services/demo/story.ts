import type { UnitSymbol } from '../../../core/quantity/unit.ts';
import type { Reading } from '../../../core/record/content.ts';

/** Minutes after the beginning of the practical. */
type Minute = number;

export interface StoryStep {
  readonly from: Minute;
  /** Null while it is going on. */
  readonly to: Minute | null;
  readonly seen: string;
  readonly readings?: readonly {
    readonly kind: Reading['kind'];
    readonly text: string;
    readonly unit: UnitSymbol;
    readonly at: Minute;
    readonly remark?: string;
  }[];
  /** Why it was done otherwise. */
  readonly deviation?: string;
}

/** What somebody of the demo did with a template: invented, but as it goes in a laboratory. */
export interface Story {
  readonly template: string;
  /** Row of the template → what was really taken, in the unit it was planned in. */
  readonly taken: Readonly<Record<string, string>>;
  readonly remarks?: Readonly<Record<string, string>>;
  readonly steps: readonly StoryStep[];
  readonly notes?: readonly { readonly step: number | null; readonly at: Minute; readonly text: string }[];
  readonly crudeG?: string;
  readonly pureG?: string;
  readonly meltingC?: readonly [string, string];
  readonly boiling?: { readonly fromC: string; readonly toC: string; readonly pressureMmHg: string };
  readonly refraction?: { readonly index: string; readonly temperatureC: string };
  readonly appearance?: string;
  readonly calculation?: string;
  readonly discussion?: string;
}
