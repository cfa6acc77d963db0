import { parseFormula } from './parse-formula.ts';

/** Light markup of a formula, `H_{2}SO_{4}`; the text as it stands where it is no formula. Never fails. */
export function formulaMarkup(text: string): string {
  const formula = parseFormula(text);
  return formula.ok ? formula.value.markup : text;
}
