export { compounds, compoundById, findCompounds } from './library.ts';
export { CompoundSearch } from './find-compounds.ts';
export { rowFromCompound } from './row-from-compound.ts';
export { isRegistryNumber } from './registry-number.ts';
export { incompatibilityGroups, keptApartFrom } from './incompatibility.ts';
export { ghsPictograms, ghsSource, statementCodes, statementText, withoutCovered } from './ghs.ts';
export { sources } from './sources.ts';
export type { Compound } from './compound.ts';
export type { IncompatibilityGroup } from './incompatibility.ts';
