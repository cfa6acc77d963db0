import type { Compound } from './compound.ts';
import { acidsAndDerivatives } from './data/acids-and-derivatives.ts';
import { acidsBasesAndDryingAgents } from './data/acids-bases-and-drying-agents.ts';
import { alcoholsAndPhenols } from './data/alcohols-and-phenols.ts';
import { aldehydesAndKetones } from './data/aldehydes-and-ketones.ts';
import { benchReagents } from './data/bench-reagents.ts';
import { halidesAndEthers } from './data/halides-and-ethers.ts';
import { metalSalts } from './data/metal-salts.ts';
import { metalsAndOxidants } from './data/metals-and-oxidants.ts';
import { naturalProductsAndIndicators } from './data/natural-products-and-indicators.ts';
import { nitrogenCompounds } from './data/nitrogen-compounds.ts';
import { preparationSalts } from './data/preparation-salts.ts';
import { preparations } from './data/preparations.ts';
import { salts } from './data/salts.ts';
import { solvents } from './data/alcohols-as-solvents.ts';
import { solventsAndHydrocarbons } from './data/solvents-and-hydrocarbons.ts';
import { defineCompound } from './define.ts';
import { CompoundSearch } from './find-compounds.ts';

/** Every compound that ships with the program. */
export const compounds: readonly Compound[] = [
  ...preparations,
  ...benchReagents,
  ...preparationSalts,
  ...solvents,
  ...solventsAndHydrocarbons,
  ...halidesAndEthers,
  ...alcoholsAndPhenols,
  ...aldehydesAndKetones,
  ...acidsAndDerivatives,
  ...nitrogenCompounds,
  ...naturalProductsAndIndicators,
  ...acidsBasesAndDryingAgents,
  ...metalsAndOxidants,
  ...salts,
  ...metalSalts,
].map(defineCompound);

const byId = new Map(compounds.map((compound) => [compound.id, compound]));

/** @returns undefined for an id the library does not hold (an entry from a newer one). */
export const compoundById = (id: string): Compound | undefined => byId.get(id);

let search: CompoundSearch | null = null;

/**
 * Looks the library up by name, synonym, formula or registry number; see `CompoundSearch`.
 *
 * @param limit most compounds to return, ≥ 1
 */
export function findCompounds(query: string, limit: number): readonly Compound[] {
  // Built at the first search: a start of the program need not wait for it.
  search ??= new CompoundSearch(compounds);
  return search.find(query, limit);
}
