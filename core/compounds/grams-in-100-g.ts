import { parseEntered } from '../quantity/entered.ts';
import { formatNumber } from '../quantity/format.ts';
import type { Entered } from '../quantity/quantity.ts';

/**
 * What 100 g of solvent hold, from the mass percent of the saturated solution: 100 w ÷ (100 − w).
 *
 * @param percent a mass fraction below 100 % w/w, as printed
 * @returns grams, to the figures of the percent; null for a quantity that is no mass fraction below one
 * @source CRC Handbook of Chemistry and Physics, 98th ed. (2017), aqueous solubility of inorganic
 *   compounds, introduction: mass of solute per 100 g of water
 */
export function gramsIn100g(percent: Entered): string | null {
  const read = parseEntered(percent, 'mass-fraction', 'solubility');
  if (!read.ok) return null;
  const { value, significantFigures } = read.value;
  const fraction = percent.unit === '% w/w' ? value / 100 : Number.NaN;
  if (!(fraction > 0 && fraction < 1)) return null;
  return formatNumber((100 * fraction) / (1 - fraction), significantFigures ?? 3);
}
