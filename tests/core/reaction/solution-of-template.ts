import { molarMass } from '../../../core/formula/molar-mass.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import type { ReagentRow } from '../../../core/reaction/table-types.ts';

/** Mass fraction of a row's solution, %, by arithmetic of its own from strength and density; null where it has none. */
export function formulaMassFractions({
  supply,
  formula,
}: ReagentRow): { readonly percent: number; readonly densityGPerMl: number } | null {
  if (supply.kind !== 'solution' || supply.strength === null) return null;
  const { strength } = supply;
  const parsed = parseFormula(formula);
  const density = Number(strength.density?.text ?? Number.NaN);
  const typed = Number(strength.entered.text);
  if (!parsed.ok || !(density > 0)) return null;
  const percent = {
    'amount-concentration': (typed * molarMass(parsed.value).value) / (10 * density),
    'mass-fraction': typed,
    'mass-per-volume': typed / density,
    'volume-fraction':
      (typed * Number(strength.kind === 'volume-fraction' ? strength.neatDensity?.text : 0)) / density,
  }[strength.kind as string];
  return percent === undefined ? null : { percent, densityGPerMl: density };
}
