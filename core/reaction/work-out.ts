import { combined } from '../quantity/contribution.ts';
import { exponentOf, figuresAtPlace } from '../quantity/uncertainty.ts';
import type { Problem, Result } from '../result.ts';
import { ok } from '../result.ts';
import { derive } from '../workings/derive.ts';
import type { Derivation } from '../workings/derive.ts';
import type { Working } from '../workings/working.ts';

/**
 * `derive`, with the digits settled where no instrument was named. Counting figures would cut
 * 2.00 g × 98 % to two figures, and the typed digits say more than that: their half steps are
 * carried through, and the result is written to the place of the first digit they reach. No
 * uncertainty is printed for it, since the last digit is the least that can be wrong, not all.
 */
export function workOut(derivation: Derivation): Result<Working, Problem> {
  const worked = derive(derivation);
  if (!worked.ok) return worked;
  const { result, contributions } = worked.value;
  const size = combined(contributions);
  if (contributions.length > 0 && size <= noise * Math.abs(result.value)) return ok(asExact(worked.value));
  if (result.standardUncertainty !== null || derivation.figures !== undefined) return worked;
  if (!(size > 0) || !Number.isFinite(size)) return worked;
  const significantFigures = figuresAtPlace(result.value, exponentOf(size));
  return ok({ ...worked.value, result: { ...result, significantFigures }, rounding: 'last-digits' });
}

/** Where all uncertainty cancels (an amount chosen in equivalents, held against its own reference), this much of it is left. */
const noise = 1e-12;

const asExact = (working: Working): Working => ({
  ...working,
  result: { ...working.result, standardUncertainty: 0, significantFigures: null },
  contributions: [],
  rounding: 'exact',
});

/** Standard uncertainty of a working, stated or, failing that, from the last digits typed; its unit is the result's. */
export const uncertaintyOf = ({ result, contributions }: Working): number =>
  result.standardUncertainty ?? combined(contributions);
