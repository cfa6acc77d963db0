import { convert } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import type { Working } from '../workings/working.ts';

/** What a physical constant of the product says, in careful words: never that it is pure. */
export interface IdentityVerdict {
  readonly property: 'melting' | 'boiling' | 'refraction';
  /**
   * agrees: within what the usual apparatus can tell; differs: not; open: nothing to hold it against;
   * doubtful: what was typed cannot be right.
   */
  readonly state: 'agrees' | 'differs' | 'open' | 'doubtful';
  /** What was found, each worded by `core/wording`, in reading order. */
  readonly findings: readonly Problem[];
  readonly workings: readonly Working[];
  /** Distance from the published value, signed, in the unit of the property; null when unknown. */
  readonly distance: Quantity | null;
  /** How grave, to sort by: 1 is worth a question, 0 agrees. */
  readonly size: number;
}

export const isGiven = (entered: Entered | null): entered is Entered =>
  entered !== null && entered.text.trim() !== '';

/** Reads optional fields and collects what cannot be read. */
export class FieldReader {
  readonly problems: Problem[] = [];

  read(
    entered: Entered | null,
    dimension: Dimension | readonly Dimension[],
    unit: UnitSymbol,
    where: string,
  ): Quantity | null {
    if (!isGiven(entered)) return null;
    const parsed = parseEntered(entered, dimension, where);
    if (parsed.ok) return convert(parsed.value, unit);
    this.problems.push(parsed.error);
    return null;
  }
}

/** A verdict that goes no further because a field cannot be read. */
export const unreadable = (
  property: IdentityVerdict['property'],
  problems: readonly Problem[],
): IdentityVerdict => ({
  property,
  state: 'doubtful',
  findings: problems,
  workings: [],
  distance: null,
  size: 1,
});
