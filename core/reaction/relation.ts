import type { Problem } from '../result.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';

/**
 * How an amount of substance follows from what is measured out of the bottle, and back. All in units
 * that fit without factors: g, g/mL, g/mol, mol, mol/L with L.
 */
export interface Relation {
  readonly state: 'ready';
  /** Unit of the measured quantity in the formulas. */
  readonly unit: 'g' | 'mL' | 'L';
  /** Formula of n in mol over the key `m` (mass) or `V` (volume) and those of `terms`. */
  readonly forward: string;
  readonly forwardDisplay: string;
  /** Formula of m or V over the key `n` and those of `terms`. */
  readonly backward: string;
  readonly backwardDisplay: string;
  readonly terms: readonly WorkingTerm[];
  readonly notes: readonly string[];
  readonly citation: string;
}

/** Something is missing or wrong; whatever needs the relation is blocked by it. */
export interface Blocked {
  readonly state: 'blocked';
  readonly problems: readonly Problem[];
}

/** There is no such relation, and nothing is missing: a solid has no volume here. */
export interface Absent {
  readonly state: 'absent';
}

export interface SupplyReading {
  readonly molarMass: Working | null;
  readonly massToAmount: Relation | Blocked | Absent;
  readonly volumeToAmount: Relation | Blocked | Absent;
  /** Density of what is measured out, g/mL: turns the mass of the liquid into its volume. */
  readonly density: { readonly state: 'ready'; readonly term: WorkingTerm } | Blocked | Absent;
  /** Everything wrong or missing in formula and supply, once each. */
  readonly problems: readonly Problem[];
}

// From memory, not checked against the print.
const greenBook = 'IUPAC Green Book, 3rd ed., 2.10';
export const absent: Absent = { state: 'absent' };

export type Part = WorkingTerm | Blocked;
export const isBlocked = (part: Part): part is Blocked => 'state' in part;

/** The relation if every part is there, else all that is missing for it. */
export function relation(
  shape: Omit<Relation, 'state' | 'terms' | 'notes' | 'citation'> & { readonly notes?: readonly string[] },
  parts: readonly Part[],
  citation = greenBook,
): Relation | Blocked {
  const problems = parts.flatMap((part) => (isBlocked(part) ? part.problems : []));
  if (problems.length > 0) return { state: 'blocked', problems };
  const terms = parts.filter((part): part is WorkingTerm => !isBlocked(part));
  return { notes: [], ...shape, state: 'ready', terms, citation };
}

export const asDensity = (part: Part): SupplyReading['density'] =>
  isBlocked(part) ? part : { state: 'ready', term: part };

export const byMass = {
  unit: 'g',
  forward: 'm * w / M',
  forwardDisplay: 'n = m · w / M',
  backward: 'n * M / w',
  backwardDisplay: 'm = n · M / w',
} as const;
export const byVolume = {
  unit: 'mL',
  forward: 'V * rho * w / M',
  forwardDisplay: 'n = V · ρ · w / M',
  backward: 'n * M / (rho * w)',
  backwardDisplay: 'V = n · M / (ρ · w)',
} as const;

export type Reading = Pick<SupplyReading, 'massToAmount' | 'volumeToAmount' | 'density'>;
