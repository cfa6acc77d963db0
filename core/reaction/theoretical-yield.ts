import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { blockedCell, workedCell } from './cell.ts';
import { rowLabel, rowPath, rowProblem } from './place.ts';
import type { SideName } from './portion.ts';
import type { PreparedRow } from './prepared-row.ts';
import type { Cell } from './table-types.ts';
import { workOut } from './work-out.ts';

/**
 * Mass of a product on complete conversion: m = ξ ν M, g, crystal water of its formula included.
 *
 * @param extent extent that the limiting reagent allows, mol
 * @error within the cell: not-in-equation, the faults of the product's formula
 * @source OpenStax Chemistry 2e, 4.4
 */
export function theoreticalMass(
  { row, reading, place, units }: PreparedRow,
  extent: Working,
  limitedBy: string,
  id: string,
  side: SideName,
  condition = '',
): Cell {
  if (place.coefficient === null) {
    const isKnown = place.problems.length > 0;
    return blockedCell(isKnown ? place.problems : [rowProblem(row, 'equationFormula', 'not-in-equation')]);
  }
  if (reading.molarMass === null) {
    return blockedCell(reading.problems.filter(({ where }) => where === rowPath(row.id, 'formula')));
  }
  const name = rowLabel(row);
  const terms = [
    workingTerm('xi', 'ξ_{lim}', `extent that ${limitedBy} allows`, extent),
    exactTerm('nu', 'ν', `coefficient of ${name} in the equation`, place.coefficient, 'balanced equation'),
    workingTerm('M', 'M', `molar mass of ${name}`, reading.molarMass),
  ];
  const by = units === 1 ? '' : ' / z';
  if (units !== 1) {
    terms.push(exactTerm('z', 'z', `units of the equation in one of ${name}`, units, 'as entered'));
  }
  const worked = workOut({
    id,
    title: `Theoretical yield of ${name}${condition}, ${side}`,
    symbol: 'm_{theo}',
    formula: `xi * nu * M${by}`,
    display: `m_{theo} = ξ_{lim} · ν · M${by}`,
    terms,
    unit: 'g',
    citation: 'theoretical yield: OpenStax Chemistry 2e, 4.4',
    where: rowPath(row.id, side),
  });
  return worked.ok ? workedCell(worked.value) : blockedCell([worked.error]);
}
