import type { ReagentRow, RowRole, Supply } from '../reaction/table-types.ts';
import type { HazardNote } from '../record/content.ts';
import type { Compound } from './compound.ts';

/** What a row takes; where its sources come from does not matter here. */
type Taken = Pick<Compound<unknown>, 'id' | 'name' | 'formula' | 'smiles' | 'form' | 'density'>;

/**
 * How a compound comes out of its bottle, as far as the library knows: a liquid's density with its
 * temperature. The assay stands on the bottle in hand and nowhere else, so it is left open, and so is
 * the strength of a solution.
 */
function supplyOf({ form, density }: Taken): Supply {
  switch (form) {
    case 'solid':
      return { kind: 'solid', assay: null };
    case 'liquid':
      return {
        kind: 'neat-liquid',
        density: density?.value ?? null,
        densityTemperature: density?.temperature ?? null,
        assay: null,
      };
    case 'solution':
      return { kind: 'solution', strength: null };
    case 'gas':
      return { kind: 'gas', temperature: null, pressure: null };
  }
}

/** A row of the reagent table for a compound of the library; nothing planned yet. */
export const rowFromCompound = (
  compound: Taken,
  { id, role }: { readonly id: string; readonly role: RowRole },
): ReagentRow => ({
  id,
  name: compound.name,
  formula: compound.formula,
  equationFormula: compound.formula,
  unitsPerFormula: 1,
  compoundId: compound.id,
  smiles: compound.smiles === '' ? null : compound.smiles,
  role,
  supply: supplyOf(compound),
  origin: null,
  planned: null,
  taken: null,
  remark: '',
});

/**
 * What the label of a compound says, as an entry notes it.
 *
 * @param source the classification's source in words
 * @returns null where the library holds no classification: that says nothing about the danger
 */
export function hazardNoteOf(
  { name, hazards }: Pick<Compound<unknown>, 'name' | 'hazards'>,
  rowId: string,
  source: string,
): HazardNote | null {
  if (hazards === null) return null;
  const { signalWord, statements, pictograms, note } = hazards;
  return {
    rowId,
    substance: name,
    signalWord,
    statements,
    pictograms,
    source: note === '' ? source : `${source}. ${note}`,
  };
}
