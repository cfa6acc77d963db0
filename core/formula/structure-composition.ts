import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { atomicWeights } from './atomic-weights.ts';
import type { ElementCount } from './formula.ts';

/** What is asked of a structure library's molecule: its atoms, one by one. */
export interface DrawnMolecule {
  getAllAtoms(): number;
  getAtomLabel(atom: number): string;
  /** Mass number where the structure names an isotope, else 0. */
  getAtomMass(atom: number): number;
  getAtomCharge(atom: number): number;
  /** Hydrogen atoms that the structure implies and does not draw. */
  getImplicitHydrogens(atom: number): number;
}

/** What a structure is made of. */
export interface StructureComposition {
  readonly elements: readonly ElementCount[];
  /** Sum of the charges drawn. */
  readonly charge: number;
}

const heavyHydrogens: Readonly<Record<string, number>> = { D: 2, T: 3 };

/**
 * Counts the atoms of a structure, isotopes apart, hydrogen included.
 *
 * @returns null for an empty structure and for one with an open place (a residue, any atom): that has
 *   no formula
 */
export function compositionOf(molecule: DrawnMolecule): StructureComposition | null {
  const counts = new Map<string, { element: string; massNumber: number | null; count: number }>();
  const add = (element: string, massNumber: number | null, count: number): void => {
    if (count === 0) return;
    const key = `${massNumber ?? ''}${element}`;
    const known = counts.get(key);
    if (known === undefined) counts.set(key, { element, massNumber, count });
    else known.count += count;
  };
  let charge = 0;
  const atoms = molecule.getAllAtoms();
  if (atoms === 0) return null;
  for (let atom = 0; atom < atoms; atom += 1) {
    const label = molecule.getAtomLabel(atom);
    const heavy = heavyHydrogens[label];
    const element = heavy === undefined ? label : 'H';
    if (!atomicWeights.has(element)) return null;
    const massNumber = heavy ?? molecule.getAtomMass(atom);
    add(element, massNumber === 0 ? null : massNumber, 1);
    add('H', null, molecule.getImplicitHydrogens(atom));
    charge += molecule.getAtomCharge(atom);
  }
  return {
    elements: [...counts.values()].map((one) => ({ ...one, atoms: one.count })),
    charge,
  };
}

/**
 * What the structure in a SMILES is made of.
 *
 * @param read the structure library's reader; it may throw for what it cannot read
 * @error structure-unreadable, structure-open (a place is left open: there is no formula)
 */
export function compositionOfSmiles(
  smiles: string,
  read: (smiles: string) => DrawnMolecule,
): Result<StructureComposition, Problem> {
  const text = smiles.trim();
  // Libraries read the open place as carbon.
  if (text.includes('*')) return fail({ code: 'structure-open', where: '', facts: {} });
  const unreadable = fail<Problem>({ code: 'structure-unreadable', where: '', facts: { typed: text } });
  let molecule: DrawnMolecule;
  try {
    molecule = read(text);
  } catch {
    return unreadable;
  }
  const composition = compositionOf(molecule);
  return composition === null ? unreadable : ok(composition);
}
