import {
  compositionOfSmiles,
  type StructureComposition,
} from '../../../core/formula/structure-composition.ts';
import type { Problem, Result } from '../../../core/result.ts';
import { structureLibrary } from './structure-library.ts';

/**
 * What a SMILES is made of.
 *
 * @error structure-unreadable, structure-open
 */
export async function readStructure(smiles: string): Promise<Result<StructureComposition, Problem>> {
  const { Molecule } = await structureLibrary();
  return compositionOfSmiles(smiles, (text) => Molecule.fromSmiles(text));
}

/** True for the text of a molfile: it has lines and ends the way the format does. */
export const isMolfile = (text: string): boolean =>
  /\n[^\n]*V[23]000[^\n]*\n/u.test(text) && text.includes('M  END');

/** A molfile as SMILES, which is what a row keeps; null when it cannot be read. */
export async function smilesOfMolfile(text: string): Promise<string | null> {
  const { Molecule } = await structureLibrary();
  try {
    const molecule = Molecule.fromMolfile(text);
    return molecule.getAllAtoms() > 0 ? molecule.toIsomericSmiles() : null;
  } catch {
    return null;
  }
}
