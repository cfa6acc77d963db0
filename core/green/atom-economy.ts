import { balance } from '../equation/balance.ts';
import { parseEquation } from '../equation/parse-equation.ts';
import { hillFormula } from '../formula/hill.ts';
import { molarMassWorking } from '../formula/molar-mass.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { blockedCell } from '../reaction/cell.ts';
import type { Cell } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { metric } from './metric.ts';

// Trost from memory, not checked against the print; the section of OpenStax was read.
const source = 'Trost, Science 254 (1991) 1471; OpenStax Chemistry 2e, 4.4';

const issue = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: 'equation', facts });

/** The metric with the molar masses it rests on. */
export interface Economy {
  readonly cell: Cell;
  readonly molarMasses: readonly Working[];
}

const kept = new Map<string, Economy>();
const keptAtMost = 100;

/**
 * Share of the mass of everything on the left of the equation that the product carries away:
 * AE = ν M(product) ÷ Σ ν M(left), %.
 *
 * @param productFormula as it stands in the equation
 * @error within the cell: the codes of `parseEquation` and `parseFormula`, green-unbalanced,
 *   product-not-in-equation (facts: formula)
 * @source Trost, Science 254 (1991) 1471
 */
export function economyOf(equationText: string, productFormula: string): Economy {
  // The same two texts come back at every keystroke elsewhere in the entry.
  const key = `${equationText}\n${productFormula}`;
  const known = kept.get(key);
  if (known !== undefined) return known;
  const fresh = workOutEconomy(equationText, productFormula);
  if (kept.size >= keptAtMost) kept.clear();
  kept.set(key, fresh);
  return fresh;
}

/** The cell of `economyOf`, %: the metric without the molar masses it rests on. */
export const atomEconomy = (equationText: string, productFormula: string): Cell =>
  economyOf(equationText, productFormula).cell;

const blocked = (problem: Problem): Economy => ({ cell: blockedCell([problem]), molarMasses: [] });

function workOutEconomy(equationText: string, productFormula: string): Economy {
  const equation = parseEquation(equationText);
  if (!equation.ok) return blocked({ ...equation.error, where: 'equation' });
  const balanced = balance(equation.value);
  if (balanced.kind === 'impossible' || balanced.kind === 'not-unique') {
    return blocked(issue('green-unbalanced'));
  }
  const product = parseFormula(productFormula);
  if (!product.ok) return blocked(product.error);
  const wanted = hillFormula(product.value);
  const terms: WorkingTerm[] = [];
  const left: string[] = [];
  const molarMasses: Working[] = [];
  let numerator: string | null = null;
  for (const [index, species] of equation.value.species.entries()) {
    const coefficient = balanced.coefficients[index] ?? 0;
    const isProduct = species.side === 'right' && hillFormula(species.formula) === wanted;
    if (species.side === 'right' && !(isProduct && numerator === null)) continue;
    const working = molarMassWorking(species.formula.text);
    if (!working.ok) return blocked(working.error);
    molarMasses.push(working.value);
    const { markup, text } = species.formula;
    terms.push(
      exactTerm(`nu_${index}`, `ν(${markup})`, `coefficient of ${text}`, coefficient, 'balanced equation'),
      workingTerm(`M_${index}`, `M(${markup})`, `molar mass of ${text}`, working.value),
    );
    if (species.side === 'left') left.push(`nu_${index} * M_${index}`);
    else numerator = `nu_${index} * M_${index}`;
  }
  if (numerator === null) return blocked(issue('product-not-in-equation', { formula: productFormula }));
  const cell = metric({
    id: 'atom-economy',
    title: 'Atom economy',
    symbol: 'AE',
    formula: `100 * (${numerator}) / (${left.join(' + ')})`,
    display: 'AE = 100 % · ν · M(product) / Σ ν · M(reactants)',
    terms,
    unit: '%',
    citation: source,
  });
  return { cell, molarMasses };
}
