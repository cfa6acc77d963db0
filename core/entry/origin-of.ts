import { formatWithUncertainty } from '../quantity/format.ts';
import type { Entered } from '../quantity/quantity.ts';
import { linesOf } from '../reaction/overall-yield.ts';
import type { Cell, ReagentRow, RowOrigin, Supply } from '../reaction/table-types.ts';
import type { EntryContent } from '../record/content.ts';
import { computeEntry } from './compute-entry.ts';

/** An entry as another one refers to it. */
export interface EntryReference {
  readonly recordId: string;
  readonly entryId: string;
  readonly number: number;
}

/** A printed number as one would type it: no real minus, no power of ten beyond what a yield needs. */
const typed = (text: string | null, unit: Entered['unit']): Entered | null =>
  text === null ? null : { text: text.replaceAll('−', '-'), unit };

/** The pure percentage yield with its standard uncertainty, as the entry prints them. */
function printedYield(pure: Cell): Pick<RowOrigin, 'yield' | 'yieldUncertainty'> {
  if (pure.state !== 'known') return { yield: null, yieldUncertainty: null };
  const printed = formatWithUncertainty({ ...pure.quantity, unit: '%' });
  return { yield: typed(printed.number, '%'), yieldUncertainty: typed(printed.uncertainty, '%') };
}

/**
 * What a row has to remember of the entry its substance was made in: which one, how much it gave, its
 * pure yield and the lines of entries before it. Copied, not linked: what an earlier entry says later
 * does not change a signed one.
 */
export function originOf(reference: EntryReference, content: EntryContent): RowOrigin {
  const { yields } = computeEntry(content);
  return {
    recordId: reference.recordId,
    entryId: reference.entryId,
    entryNumber: reference.number,
    title: content.title.trim(),
    mass: content.result.pure.mass,
    ...printedYield(yields.pure),
    lines: content.rows.flatMap(linesOf),
  };
}

const bottleOf = ({ supply }: ReagentRow): Supply => {
  // What the earlier entry made carries no label: its assay is for the student to judge.
  if (supply.kind === 'solid' || supply.kind === 'neat-liquid') return { ...supply, assay: null };
  return supply;
};

/**
 * The row with the product of an earlier entry in it: name, formula and structure; the mass obtained is
 * planned where nothing is planned yet, or where a volume was and it is a solid. The assay stays open.
 *
 * @returns null when that entry marks no row as its product
 */
export function rowFromEntry(
  row: ReagentRow,
  reference: EntryReference,
  content: EntryContent,
): ReagentRow | null {
  const product = content.rows.find(({ id }) => id === content.productRowId);
  if (product === undefined) return null;
  const origin = originOf(reference, content);
  // A volume planned for a liquid means nothing for a solid.
  const isMisfit = row.planned?.by === 'volume' && product.supply.kind === 'solid';
  const isFree = row.planned === null || row.planned.entered.text.trim() === '' || isMisfit;
  const planned =
    isFree && origin.mass !== null && origin.mass.text.trim() !== ''
      ? ({ by: 'mass', entered: origin.mass, instrument: null } as const)
      : isMisfit
        ? null
        : row.planned;
  const { valuesFrom: _own, ...kept } = row;
  return {
    ...kept,
    ...(product.valuesFrom === undefined ? {} : { valuesFrom: product.valuesFrom }),
    name: product.name,
    formula: product.formula,
    equationFormula: product.equationFormula,
    unitsPerFormula: product.unitsPerFormula,
    compoundId: product.compoundId,
    smiles: product.smiles,
    supply: bottleOf(product),
    planned,
    origin,
  };
}
