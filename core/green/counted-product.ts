import { hillFormula } from '../formula/hill.ts';
import { molarMassWorking } from '../formula/molar-mass.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { rowLabel } from '../reaction/place.ts';
import type { ReagentRow } from '../reaction/table-types.ts';
import { derive } from '../workings/derive.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';

/** The product as the equation has it, with the working that says so. */
export interface CountedProduct {
  readonly term: WorkingTerm;
  readonly workings: readonly Working[];
}

/**
 * Mass of the product as it stands in the equation: m · z · M(equation) / M(bottle). Crystals of a hydrate
 * take their water from the solvent; counted as product made from the reactants it would give a mass
 * efficiency above 100 % and less than no waste.
 *
 * @param product mass as weighed, g
 * @returns null where the equation has the very formula that was weighed, or where one cannot be read
 * @source proportion of the molar masses
 */
export function countedProduct(row: ReagentRow | undefined, product: WorkingTerm): CountedProduct | null {
  if (row === undefined || row.equationFormula.trim() === '') return null;
  const [weighed, inEquation] = [parseFormula(row.formula), parseFormula(row.equationFormula)];
  if (!weighed.ok || !inEquation.ok) return null;
  if (row.unitsPerFormula === 1 && hillFormula(weighed.value) === hillFormula(inEquation.value)) return null;
  const [whole, part] = [molarMassWorking(row.formula), molarMassWorking(row.equationFormula)];
  if (!whole.ok || !part.ok) return null;
  const name = rowLabel(row);
  const worked = derive({
    id: 'product-in-equation',
    title: `Mass of ${name} as it stands in the equation`,
    symbol: "m'_{product}",
    formula: 'm_p * z * M_eq / M_w',
    display: "m'_{product} = m_{product} · z · M_{eq} / M",
    terms: [
      product,
      exactTerm('z', 'z', `units of the equation in one of ${name}`, row.unitsPerFormula, 'as entered'),
      workingTerm('M_eq', 'M_{eq}', `molar mass of ${inEquation.value.text}`, part.value),
      workingTerm('M_w', 'M', `molar mass of ${weighed.value.text}`, whole.value),
    ],
    unit: 'g',
    citation: 'proportion of the molar masses',
    notes: ['Water of crystallisation comes from the solvent, not from the reactants.'],
    where: 'productRowId',
  });
  if (!worked.ok) return null;
  const term = workingTerm('m_p', "m'_{product}", `${name} as it stands in the equation`, worked.value);
  return { term, workings: [whole.value, part.value, worked.value] };
}
