import { balance } from '../equation/balance.ts';
import type { Balance, Equation } from '../equation/equation.ts';
import { balancedMarkup } from '../equation/equation-markup.ts';
import { parseEquation } from '../equation/parse-equation.ts';
import type { Formula } from '../formula/formula.ts';
import { hillFormula } from '../formula/hill.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import type { Problem, Result } from '../result.ts';
import { plainText } from '../workings/markup.ts';
import { inRow, rowProblem } from './place.ts';
import type { ReagentRow, RowRole } from './table-types.ts';

interface Placed {
  readonly text: string;
  readonly composition: string;
  readonly side: 'left' | 'right';
  readonly coefficient: number;
}

/** A balanced equation as the table needs it; `species` is empty when it cannot be used. */
export interface Stoichiometry {
  readonly species: readonly Placed[];
  /** What is wrong with the equation as a whole; also told when it could be used after all. */
  readonly problems: readonly Problem[];
}

/** Where a row stands in the equation. */
export interface RowPlace {
  /** Index in `Stoichiometry.species`, or null when the row is not in the equation. */
  readonly species: number | null;
  readonly coefficient: number | null;
  /** Why a row that has to be in the equation is not. */
  readonly problems: readonly Problem[];
}

const compositionOf = (formula: Formula): string => `${hillFormula(formula)}|${formula.charge}`;

const keptCompositions = new Map<string, Result<Formula, Problem>>();
const keptEquations = new Map<string, Stoichiometry>();
const keptAtMost = 500;

/** Reading is pure, and a table asks for the same few texts at every keystroke. */
function kept<T>(store: Map<string, T>, text: string, make: (text: string) => T): T {
  const known = store.get(text);
  if (known !== undefined) return known;
  const fresh = make(text);
  if (store.size >= keptAtMost) store.clear();
  store.set(text, fresh);
  return fresh;
}

const problem = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: 'equation', facts });

/** "H 10 left, 8 right; charge 1 left, 0 right" */
const imbalanceText = ({ imbalance }: Balance): string =>
  imbalance.map(({ what, left, right }) => `${what} ${left} left, ${right} right`).join('; ');

/**
 * A forgotten by-product often still balances, with coefficients nobody would write, and a wrong yield
 * follows. From this coefficient on, where it was not typed, it is asked about. Common practice, no source.
 */
const improbable = 8;

function understand(text: string): Stoichiometry {
  const parsed = parseEquation(text);
  if (!parsed.ok) return { species: [], problems: [{ ...parsed.error, where: 'equation' }] };
  const equation = parsed.value;
  const balanced = balance(equation);
  const by = imbalanceText(balanced);
  switch (balanced.kind) {
    case 'impossible':
      return { species: [], problems: [problem('equation-unbalanced', { by }), ...balanced.explanation] };
    case 'not-unique': {
      // Which reduction or which by-product it is, is chemistry: nobody but the student can say.
      const example = plainText(balancedMarkup(equation, balanced.coefficients));
      return { species: [], problems: [problem('equation-not-unique', { by, example })] };
    }
    case 'unique': {
      const isTyped = equation.species.some((one) => one.typed !== null);
      const suggestion = plainText(balancedMarkup(equation, balanced.coefficients));
      const largest = Math.max(...balanced.coefficients);
      const notes = [
        ...(isTyped ? [problem('equation-coefficients-differ', { by, used: suggestion })] : []),
        ...(largest >= improbable ? [problem('equation-coefficients-large', { by, largest })] : []),
      ];
      return { species: place(equation, balanced), problems: notes };
    }
    case 'as-typed':
      return { species: place(equation, balanced), problems: [] };
  }
}

const place = (equation: Equation, { coefficients }: Balance): Placed[] =>
  equation.species.map((one, index) => ({
    text: one.text,
    composition: compositionOf(one.formula),
    side: one.side,
    coefficient: coefficients[index] ?? 1,
  }));

/**
 * Reads and balances the equation of a preparation.
 *
 * An equation that balances as typed is kept; a unique solution is used; where several independent
 * solutions exist the coefficients have to be typed, since arithmetic cannot choose between them.
 *
 * @error within the answer: the codes of `parseEquation`; equation-unbalanced (facts: by),
 *   equation-not-unique (facts: by, example); equation-coefficients-differ (facts: by, used) and
 *   equation-coefficients-large (facts: by, largest), which do not stop the table
 */
export const readStoichiometry = (text: string): Stoichiometry => kept(keptEquations, text, understand);

const sideOfRole: Readonly<Record<RowRole, 'left' | 'right' | null>> = {
  reactant: 'left',
  reagent: 'left',
  solvent: 'left',
  product: 'right',
  'by-product': 'right',
  // They may stand in an equation and still have no share in its stoichiometry.
  catalyst: null,
  'work-up': null,
  'drying-agent': null,
};

/** Units of the equation that one formula unit of the bottle brings, when it is usable. */
export const unitsPerFormulaOf = (row: ReagentRow): number | null =>
  Number.isFinite(row.unitsPerFormula) && row.unitsPerFormula > 0 && row.unitsPerFormula <= 1000
    ? row.unitsPerFormula
    : null;

/**
 * The side of the equation a formula stands on; null when it stands on none or on both, or when either
 * cannot be read.
 */
export function sideInEquation(formula: string, equation: string): 'left' | 'right' | null {
  const read = kept(keptCompositions, formula, parseFormula);
  const written = parseEquation(equation);
  if (!read.ok || !written.ok) return null;
  const composition = compositionOf(read.value);
  const sides = new Set(
    written.value.species.filter((one) => compositionOf(one.formula) === composition).map(({ side }) => side),
  );
  return sides.size === 1 ? ([...sides][0] ?? null) : null;
}

/**
 * Finds a row in the equation by what its `equationFormula` is made of, so that `CH3CO2H` is found
 * as `C2H4O2`; where two species have one composition the one spelled alike is taken.
 *
 * @error not-in-equation (a reactant or the main product only), units-per-formula, and the codes of
 *   `parseFormula` at `equationFormula`
 */
export function placeRow(row: ReagentRow, { species }: Stoichiometry, isMainProduct: boolean): RowPlace {
  const side = sideOfRole[row.role];
  const none: RowPlace = { species: null, coefficient: null, problems: [] };
  if (side === null || species.length === 0) return none;
  const isNeeded = row.role === 'reactant' || isMainProduct;
  if (unitsPerFormulaOf(row) === null) {
    return { ...none, problems: [rowProblem(row, 'unitsPerFormula', 'units-per-formula')] };
  }
  const isOwn = row.equationFormula.trim() !== '';
  const text = isOwn ? row.equationFormula : row.formula;
  const formula = kept(keptCompositions, text, parseFormula);
  if (!formula.ok) {
    // A fault in `formula` is told there already.
    const isNew = isNeeded && isOwn && row.equationFormula !== row.formula;
    return { ...none, problems: isNew ? [inRow(row, 'equationFormula', formula.error)] : [] };
  }
  const composition = compositionOf(formula.value);
  const trimmed = text.trim();
  let found = -1;
  for (const [index, one] of species.entries()) {
    if (one.side !== side || one.composition !== composition) continue;
    if (found < 0 || one.text === trimmed) found = index;
    if (one.text === trimmed) break;
  }
  if (found >= 0) return { species: found, coefficient: species[found]?.coefficient ?? null, problems: [] };
  return isNeeded
    ? {
        ...none,
        problems: [rowProblem(row, 'equationFormula', 'not-in-equation', { formula: trimmed, side })],
      }
    : none;
}
