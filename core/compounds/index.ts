export { compounds, compoundById, findCompounds } from './library.ts';
export { CompoundSearch } from './find-compounds.ts';
export { hazardNoteOf, rowFromCompound } from './row-from-compound.ts';
export { isRegistryNumber } from './registry-number.ts';
export { incompatibilityGroups, keptApartFrom } from './incompatibility.ts';
export { ghsPictograms, ghsSource, statementCodes, statementText, withoutCovered } from './ghs.ts';
export { sources } from './sources.ts';
export type { Compound } from './compound.ts';
export type { IncompatibilityGroup } from './incompatibility.ts';
export { blankOwnCompound } from './own-compound.ts';
export {
  ownCompoundAsCompound,
  ownCompoundDoubts,
  ownSourceText,
  sameName,
} from './own-compound-as-compound.ts';
export { ownCompoundDifferences } from './own-compound-differences.ts';
export { readOwnCompound } from './read-own-compound.ts';
export type { OwnCompound } from './own-compound-as-compound.ts';
export type { OwnCompoundChange } from './own-compound-differences.ts';
export type { OwnCompoundContent } from './own-compound.ts';
