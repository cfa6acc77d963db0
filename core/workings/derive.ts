import type { Contribution } from '../quantity/contribution.ts';
import { combined } from '../quantity/contribution.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { exponentOf, figuresAtPlace, placeOfUncertainty } from '../quantity/uncertainty.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { evaluate } from './evaluate.ts';
import type { Evaluation } from './evaluate.ts';
import { readExpression } from './expression.ts';
import type { Rounding, Working, WorkingTerm } from './working.ts';

export interface Derivation {
  readonly id: string;
  readonly title: string;
  /** Symbol of the result, light markup. */
  readonly symbol: string;
  /** Arithmetic over the terms' keys in the terms' own units; every term must be used. */
  readonly formula: string;
  /** The formula as printed, light markup, with its left side: `n = m · w / M`. */
  readonly display: string;
  readonly terms: readonly WorkingTerm[];
  readonly unit: UnitSymbol;
  readonly citation: string;
  readonly notes?: readonly string[];
  /** Overrides the digits: a number of significant figures, or null for an exact result. */
  readonly figures?: number | null;
  /** Field path a fault is reported at; '' when the whole calculation is meant. */
  readonly where?: string;
}

const noNotes: readonly string[] = [];
const noContributions: readonly Contribution[] = [];
let termValues = new Float64Array(32);
let termPlaces = new Float64Array(32);

/** Power of ten of a quantity's last significant digit; −Infinity for an exact one. */
const placeOf = ({ value, significantFigures }: Quantity): number =>
  significantFigures === null ? -Infinity : exponentOf(value) - significantFigures + 1;

/** A term whose quantity has an uncertainty but no account of it stands for one source of its own. */
function contributionsOf(term: WorkingTerm): readonly Contribution[] {
  const u = term.quantity.standardUncertainty;
  if (term.contributions.length > 0 || u === null || u === 0) return term.contributions;
  const source =
    term.source.kind === 'entered'
      ? term.source.where
      : term.source.kind === 'constant'
        ? `constant:${term.source.citation}:${term.key}`
        : term.source.id;
  return [{ source, label: term.meaning, value: u }];
}

/** True when the term is inexact and nobody knows by how much. */
const isOpen = ({ quantity }: WorkingTerm): boolean =>
  quantity.significantFigures !== null && quantity.standardUncertainty === null;

/** A contribution while it is being added up. */
interface Sum {
  readonly source: string;
  readonly label: string;
  value: number;
}

function addContributions(into: Sum[], from: readonly Contribution[], sensitivity: number): void {
  for (const one of from) {
    const value = one.value * sensitivity;
    // The lists are short; looking through one is quicker than hashing into a map.
    let at = 0;
    while (at < into.length && into[at]?.source !== one.source) at += 1;
    const earlier = into[at];
    if (earlier === undefined) into.push({ source: one.source, label: one.label, value });
    else earlier.value += value;
  }
}

function roundingRule(evaluation: Evaluation): Rounding {
  if (evaluation.place === -Infinity) return 'exact';
  if (evaluation.usesProductRule && evaluation.usesSumRule) return 'both-rules';
  return evaluation.usesSumRule ? 'decimal-places' : 'fewest-figures';
}

/**
 * Computes one number from its formula and explains it.
 *
 * The value is what the formula text gives over the terms' values, so the printed formula is what
 * was computed. The uncertainty is the first-order law of propagation with exact derivatives; terms
 * that share a source are correlated through it. It is known only when that of every inexact term
 * is. Digits: a known uncertainty decides them; else the counting rules; an exact result has none.
 *
 * @param derivation formula, terms and words; the unit of the result is the caller's responsibility
 * @returns the working, or a problem: `division-by-zero`, `outside-domain` (root or logarithm of a
 *   value that has none), `result-too-large`; facts: `working` (id), `title`. Never a value that is not finite.
 * @throws Error for a formula that cannot be read, a name without its term or a term without use: bugs
 * @source JCGM 100:2008, 5.1.2 equation (10) and 5.2.2 equation (13); 7.2.6 for the digits
 */
export function derive(derivation: Derivation): Result<Working, Problem> {
  const expression = readExpression(derivation.formula);
  const { names } = expression;
  const { terms } = derivation;
  if (termValues.length < names.length) {
    termValues = new Float64Array(names.length * 2);
    termPlaces = new Float64Array(names.length * 2);
  }
  if (terms.length !== names.length) throw misfit(derivation, names);
  termPlaces.fill(NaN, 0, names.length);
  for (const term of terms) {
    const index = names.indexOf(term.key);
    // A key that no name has, or one that has had its term already.
    if (index < 0 || !Number.isNaN(termPlaces[index])) throw misfit(derivation, names);
    termValues[index] = term.quantity.value;
    termPlaces[index] = placeOf(term.quantity);
  }

  const evaluation = evaluate(expression, termValues, termPlaces);
  if (evaluation.fault !== null) {
    return fail({
      code: evaluation.fault === 'too-large' ? 'result-too-large' : evaluation.fault,
      where: derivation.where ?? '',
      facts: { working: derivation.id, title: derivation.title },
    });
  }

  const contributions: Sum[] = [];
  let isKnown = true;
  for (const term of terms) {
    const sensitivity = evaluation.sensitivities[names.indexOf(term.key)] as number;
    if (isOpen(term)) isKnown = false;
    addContributions(contributions, contributionsOf(term), sensitivity);
  }
  const uncertainty = isKnown ? combined(contributions) : null;
  return ok(assemble(derivation, evaluation, contributions, uncertainty));
}

function assemble(
  derivation: Derivation,
  evaluation: Evaluation,
  contributions: readonly Contribution[],
  uncertainty: number | null,
): Working {
  const { value, place } = evaluation;
  // A root at zero has no finite slope: first order says nothing there, and so do we.
  const known = uncertainty !== null && Number.isFinite(uncertainty) ? uncertainty : null;
  let rounding = roundingRule(evaluation);
  let significantFigures = place === -Infinity ? null : figuresAtPlace(value, place);
  if (derivation.figures !== undefined) {
    rounding = 'given';
    significantFigures = derivation.figures;
  } else if (known !== null && known > 0) {
    rounding = 'uncertainty';
    significantFigures = figuresAtPlace(value, placeOfUncertainty(known));
  }
  return {
    id: derivation.id,
    title: derivation.title,
    symbol: derivation.symbol,
    formula: derivation.formula,
    display: derivation.display,
    terms: derivation.terms,
    result: { value, unit: derivation.unit, standardUncertainty: known, significantFigures },
    contributions: contributions.every((one) => Number.isFinite(one.value)) ? contributions : noContributions,
    rounding,
    citation: derivation.citation,
    notes: derivation.notes ?? noNotes,
  };
}

function misfit(derivation: Derivation, names: readonly string[]): Error {
  const keys = derivation.terms.map((term) => term.key);
  return new Error(
    `working ${derivation.id}: formula uses [${names.join(' ')}], terms are [${keys.join(' ')}]`,
  );
}
