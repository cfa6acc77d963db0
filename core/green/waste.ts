import { blockedCell } from '../reaction/cell.ts';
import type { Cell, RowRole } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { isProblem, isTerm } from './masses-in.ts';
import type { MassIn } from './masses-in.ts';
import { metric } from './metric.ts';

/** By what it was there for, which is also how it is collected. */
export const wasteStreams = [
  'reactants and by-products',
  'solvents',
  'work-up liquids and solids',
  'drying agents',
] as const;
export type WasteName = (typeof wasteStreams)[number];

export interface WasteStream {
  readonly stream: WasteName;
  /** g; blocked while a mass in it, or the product's, is unknown. */
  readonly mass: Cell;
}

function streamOf(role: RowRole): WasteName {
  if (role === 'solvent') return 'solvents';
  if (role === 'work-up') return 'work-up liquids and solids';
  if (role === 'drying-agent') return 'drying agents';
  return 'reactants and by-products';
}

/**
 * What went in and did not become product, stream by stream: a mass balance. The product comes out of
 * the reactants; water that it took from a solvent would make that stream too large by so much.
 *
 * @param product mass obtained as a term `m_p`, or why it is not known
 * @error within the cells: those of `massesIn`, the problem of `product`, product-outweighs-reactants
 */
export function wasteOf(masses: readonly MassIn[], product: WorkingTerm | Problem): readonly WasteStream[] {
  return wasteStreams.flatMap((stream): WasteStream[] => {
    const here = masses.filter(({ row }) => streamOf(row.role) === stream);
    if (here.length === 0) return [];
    return [{ stream, mass: streamMass(stream, here, product) }];
  });
}

function streamMass(stream: WasteName, here: readonly MassIn[], product: WorkingTerm | Problem): Cell {
  const isChemistry = stream === 'reactants and by-products';
  const all = [...here.map(({ whole }) => whole), ...(isChemistry ? [product] : [])];
  const problems = all.filter(isProblem);
  if (problems.length > 0) return blockedCell(problems);
  const terms = all.filter(isTerm);
  const inputs = here.flatMap(({ whole }) => (isProblem(whole) ? [] : [whole.key]));
  const cell = metric({
    id: `waste:${stream.replaceAll(' ', '-')}`,
    title: `Waste: ${stream}`,
    symbol: 'm_{waste}',
    formula: `${inputs.join(' + ')}${isChemistry ? ' - m_p' : ''}`,
    display: isChemistry ? 'm_{waste} = Σ m − m_{product}' : 'm_{waste} = Σ m',
    terms,
    unit: 'g',
    citation: 'mass balance: what went in is product or waste',
    notes: isChemistry ? ['Solutions count with their solvent.'] : [],
  });
  if (cell.state === 'known' && cell.quantity.value < 0) {
    return blockedCell([{ code: 'product-outweighs-reactants', where: 'result', facts: {} }]);
  }
  return cell;
}
