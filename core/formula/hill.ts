import type { ElementCount, Formula } from './formula.ts';

const order = ({ element, massNumber }: ElementCount, hasCarbon: boolean): string => {
  const rank = hasCarbon && element === 'C' ? '0' : hasCarbon && element === 'H' ? '1' : `2${element}`;
  return `${rank}:${String(massNumber ?? 0).padStart(3, '0')}`;
};

/**
 * Formula in Hill order: carbon, hydrogen, then the other symbols alphabetically; all
 * alphabetically where there is no carbon. Isotopes follow their element in brackets. The charge
 * is left out.
 *
 * @example hill(acetylsalicylic acid) // C9H8O4
 * @source E. A. Hill, J. Am. Chem. Soc. 22 (1900) 478 (from memory)
 */
export function hillFormula(formula: Formula): string {
  const known = written.get(formula);
  if (known !== undefined) return known;
  const text = inOrder(formula);
  written.set(formula, text);
  return text;
}

/** A table asks for every formula of it at every keystroke, and formulas never change. */
const written = new WeakMap<Formula, string>();

function inOrder(formula: Formula): string {
  const hasCarbon = formula.elements.some((one) => one.element === 'C');
  return formula.elements
    .toSorted((a, b) => (order(a, hasCarbon) < order(b, hasCarbon) ? -1 : 1))
    .map(({ element, massNumber, count }) => {
      const symbol = massNumber === null ? element : `[${massNumber}${element}]`;
      return count === 1 ? symbol : symbol + String(count);
    })
    .join('');
}
