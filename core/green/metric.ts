import { blockedCell, workedCell } from '../reaction/cell.ts';
import type { Cell } from '../reaction/table-types.ts';
import type { Derivation } from '../workings/derive.ts';
import { derive } from '../workings/derive.ts';

/**
 * A metric as a cell, to three figures: it compares ways of working, and the uncertainty of weighing
 * says nothing about that.
 */
export function metric(derivation: Derivation): Cell {
  const worked = derive({ ...derivation, figures: 3 });
  if (!worked.ok) return blockedCell([worked.error]);
  const { value: working } = worked;
  return workedCell({
    ...working,
    result: { ...working.result, standardUncertainty: null },
    contributions: [],
  });
}
