import type { Equation, Species } from './equation.ts';
import { parseEquation } from './parse-equation.ts';

const coefficientText = ({ typed }: Species): string => {
  if (typed === null || (typed.numerator === 1 && typed.denominator === 1)) return '';
  return typed.denominator === 1 ? String(typed.numerator) : `${typed.numerator}/${typed.denominator}`;
};

const lay = (equation: Equation, coefficient: (one: Species, index: number) => string): string => {
  const side = (which: Species['side']): string =>
    equation.species
      .map((one, index) => ({ one, text: coefficient(one, index) }))
      .filter(({ one }) => one.side === which)
      .map(({ one, text }) => (text === '' ? '' : `${text}\u2009`) + one.formula.markup + stateMarkup(one))
      .join(' + ');
  return `${side('left')} ${equation.arrow} ${side('right')}`;
};
const stateMarkup = ({ state }: Species): string => (state === '' ? '' : `\u2009(${state})`);

/** Light markup of an equation as typed; the text as it stands where it is none. Never fails. */
export function equationMarkup(text: string): string {
  const equation = parseEquation(text);
  return equation.ok ? lay(equation.value, coefficientText) : text;
}

/**
 * Light markup of an equation with the coefficients given, a 1 left out.
 *
 * @param coefficients one per species, left side first, as `balance` returns them
 */
export const balancedMarkup = (equation: Equation, coefficients: readonly number[]): string =>
  lay(equation, (_, index) => {
    const value = coefficients[index] ?? 1;
    return value === 1 ? '' : String(value);
  });
