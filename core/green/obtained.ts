import { parseEntered } from '../quantity/entered.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { isBlank } from '../reaction/entered-value.ts';
import type { Weighing } from '../record/content.ts';
import type { Problem } from '../result.ts';

/** The product as the green metrics count it. */
export type Obtained =
  | {
      readonly state: 'weighed';
      readonly stage: 'pure' | 'crude';
      /** g, above zero. */
      readonly mass: Quantity;
    }
  | { readonly state: 'unknown'; readonly problem: Problem };

const unknown = (problem: Problem): Obtained => ({ state: 'unknown', problem });

/**
 * Mass of product that the metrics are reckoned on: the pure product, and the crude one while nothing
 * pure has been weighed. A pure mass that cannot be read is not replaced by the crude one.
 *
 * @error product-not-weighed (blank or zero), the codes of `parseEntered`
 */
export function obtainedProduct(weighings: { readonly crude: Weighing; readonly pure: Weighing }): Obtained {
  for (const stage of ['pure', 'crude'] as const) {
    const { mass: entered } = weighings[stage];
    if (entered === null || isBlank(entered)) continue;
    const where = `result.${stage}.mass`;
    const parsed = parseEntered(entered, 'mass', where);
    if (!parsed.ok) return unknown({ ...parsed.error, where });
    if (!(parsed.value.value > 0)) return unknown({ code: 'product-not-weighed', where, facts: {} });
    return { state: 'weighed', stage, mass: parsed.value };
  }
  return unknown({ code: 'product-not-weighed', where: 'result.pure.mass', facts: {} });
}
