export type StructureLibrary = typeof import('openchemlib');
let library: Promise<StructureLibrary> | null = null;

/** The structure library is large and only wanted where there is a structure: it is fetched on first use. */
export const structureLibrary = (): Promise<StructureLibrary> => (library ??= import('openchemlib'));
