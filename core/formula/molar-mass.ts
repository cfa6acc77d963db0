import type { Contribution } from '../quantity/contribution.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { figuresAtPlace, placeOfUncertainty, rectangular } from '../quantity/uncertainty.ts';
import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, exactTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { atomicWeightEdition, atomicWeights } from './atomic-weights.ts';
import type { ElementCount, Formula } from './formula.ts';
import { isotopeEdition, isotopeMass } from './isotopes.ts';
import { parseFormula } from './parse-formula.ts';

/**
 * Molar mass of the electron, g/mol; an ion differs from its atoms by z of them. CODATA 2018, standard
 * uncertainty 1.7 in the last two digits, which is nothing beside that of any atomic weight.
 */
export const electronMolarMassGPerMol = 0.00054857990888;

export const molarMassCitation =
  'IUPAC Green Book, 3rd ed., 2.10; uncertainty: van der Veen et al., Pure Appl. Chem. 93 (2021) 629';

/** What the budget calls them all: nobody can do anything about one element in particular. */
const atomicWeightLabel = 'standard atomic weights';

const builtElements = new Map<string, WorkingTerm>();
const builtIsotopes = new Map<string, WorkingTerm>();

/** Term of one element or isotope. Built once: every formula of a table uses the same few. */
export function atomTerm(element: string, massNumber: number | null): WorkingTerm {
  const built = massNumber === null ? builtElements : builtIsotopes;
  const key = massNumber === null ? element : `${massNumber}_${element}`;
  const known = built.get(key);
  if (known !== undefined) return known;
  const fresh =
    massNumber === null
      ? elementTerm(`A_${element}`, element)
      : isotopeTerm(`A${massNumber}_${element}`, element, massNumber);
  built.set(key, fresh);
  return fresh;
}

function elementTerm(key: string, element: string): WorkingTerm {
  const row = atomicWeights.get(element);
  if (row === undefined || row.weight === null || row.uncertainty === null) {
    throw new Error(`${element} has no standard atomic weight; parseFormula refuses it`);
  }
  const u = rectangular(row.uncertainty);
  const contribution: Contribution = {
    source: `atomic-weight:${element}`,
    label: atomicWeightLabel,
    value: u,
  };
  return constantTerm(
    key,
    `A_{r}(${element})`,
    `atomic weight of ${row.name}`,
    { value: row.weight, unit: 'g/mol', standardUncertainty: u, significantFigures: row.significantFigures },
    atomicWeightEdition,
    [contribution],
  );
}

function isotopeTerm(key: string, element: string, massNumber: number): WorkingTerm {
  const row = isotopeMass(element, massNumber);
  if (row === null) throw new Error(`no mass for ${massNumber}${element}; parseFormula refuses it`);
  const source = `isotope:${massNumber}${element}`;
  return constantTerm(
    key,
    `m(^{${massNumber}}${element})`,
    `mass of the isotope ${element}-${massNumber}`,
    { value: row.mass, unit: 'g/mol', standardUncertainty: row.uncertainty, significantFigures: 11 },
    isotopeEdition,
    row.uncertainty === 0 ? [] : [{ source, label: atomicWeightLabel, value: row.uncertainty }],
  );
}

const countText = ({ atoms, count }: ElementCount, denominator: number): string =>
  Number.isInteger(count) || String(count).length <= 8 ? String(count) : `${atoms}/${denominator}`;

const electronTerm = exactTerm(
  'm_e',
  'm_{e}',
  'molar mass of the electron',
  electronMolarMassGPerMol,
  'CODATA 2018',
  'g/mol',
);

/**
 * Molar mass of a formula, explained: M = Σ n A, less one electron for each positive charge.
 *
 * All atoms of one element share one atomic weight, so its uncertainty counts n² u², not n u².
 *
 * @param formula from `parseFormula`
 * @returns g/mol; id `molar-mass:<formula as typed>`
 * @source IUPAC/CIAAW 2021 abridged; u(A) = U/√3 for "value ± U" (van der Veen et al. 2021)
 */
export function molarMassOf(formula: Formula): Working {
  const parts: string[] = [];
  const shown: string[] = [];
  const terms: WorkingTerm[] = [];
  for (const one of formula.elements) {
    const term = atomTerm(one.element, one.massNumber);
    const count = countText(one, formula.denominator);
    terms.push(term);
    parts.push(count === '1' ? term.key : `${count}*${term.key}`);
    shown.push(count === '1' ? term.symbol : `${count} · ${term.symbol}`);
  }
  let text = parts.join(' + ');
  let display = shown.join(' + ');
  if (formula.charge !== 0) {
    const size = Math.abs(formula.charge);
    const sign = formula.charge > 0 ? '-' : '+';
    terms.push(electronTerm);
    text += ` ${sign} ${size === 1 ? '' : `${size}*`}${electronTerm.key}`;
    display += ` ${sign === '-' ? '−' : '+'} ${size === 1 ? '' : `${size} · `}${electronTerm.symbol}`;
  }
  const working = derive({
    id: `molar-mass:${formula.text}`,
    title: `Molar mass of ${formula.markup}`,
    symbol: `M(${formula.markup})`,
    formula: text,
    display: `M = ${display}`,
    terms,
    unit: 'g/mol',
    citation: molarMassCitation,
  });
  if (!working.ok) throw new Error(`molar mass of ${formula.text}: ${working.error.code}`);
  return working.value;
}

/**
 * Molar mass, g/mol, with its standard uncertainty: what `molarMassOf` gives as its result, without
 * the explanation, for whoever goes through a whole library of formulae.
 */
export function molarMass(formula: Formula): Quantity {
  let value = 0;
  let variance = 0;
  for (const { element, massNumber, count } of formula.elements) {
    const { quantity } = atomTerm(element, massNumber);
    value += count * quantity.value;
    variance += (count * (quantity.standardUncertainty ?? 0)) ** 2;
  }
  value -= formula.charge * electronMolarMassGPerMol;
  const standardUncertainty = Math.sqrt(variance);
  return {
    value,
    unit: 'g/mol',
    standardUncertainty,
    significantFigures: figuresAtPlace(value, placeOfUncertainty(standardUncertainty)),
  };
}

const kept = new Map<string, Result<Working, Problem>>();
const keptAtMost = 2_000;

/**
 * Molar mass of a formula as typed. The same text gives the same working again, because a table
 * asks for it at every keystroke.
 *
 * @error those of `parseFormula`
 */
export function molarMassWorking(text: string): Result<Working, Problem> {
  const known = kept.get(text);
  if (known !== undefined) return known;
  const formula = parseFormula(text);
  const fresh = formula.ok ? ok(molarMassOf(formula.value)) : fail(formula.error);
  if (kept.size >= keptAtMost) kept.clear();
  kept.set(text, fresh);
  return fresh;
}
