/**
 * Where the values of the compounds library come from. A value carries the key; screens and PDF print
 * the citation. What was not read for this library says so in its own words.
 */
export const sources = {
  crc: 'CRC Handbook of Chemistry and Physics, 95th ed., read through the open data set CalebBell/chemicals',
  'open-melting-points':
    'Open Notebook Science melting point collection, read through the open data set CalebBell/chemicals',
  'common-chemistry': 'CAS Common Chemistry, read through the open data set CalebBell/chemicals',
  yaws: 'Yaws, collection of boiling points, read through the open data set CalebBell/chemicals',
  'crc-solutions':
    'CRC Handbook of Chemistry and Physics, concentrative properties of aqueous solutions, as reprinted',
  perry: "Perry's Chemical Engineers' Handbook, densities of aqueous solutions, as reprinted",
  laliberte: 'density correlation of Laliberté (2009)',
  openstax: 'OpenStax Chemistry 2e, appendices',
  'crc-aqueous':
    'CRC Handbook of Chemistry and Physics, 98th ed. (2017), aqueous solubility of inorganic compounds at various temperatures, read through the open data set chicolucio/solutions',
  'kaye-laby':
    'Robinson and Stokes, Electrolyte Solutions, 2nd ed. (1970), in Kaye and Laby, Tables of Physical and Chemical Constants, 3.9.7',
  'nist-46':
    'NIST Critically Selected Stability Constants of Metal Complexes (database 46, 2001), at zero ionic strength, as reprinted in a textbook',
  'nbs-1967': 'Journal of Research of the National Bureau of Standards 71A (1967) 379, table 1',
  'who-memory': 'melting-point reference substances of the WHO, quoted from memory',
  definition: 'definition of the scale',
  'encyclopedic-table':
    'tertiary solubility table (encyclopedic), checked against a second one where there is one',
  'teaching-texts': 'several practical texts agree; no primary source read',
  'aaps-2021': 'solubility study, AAPS PharmSciTech 22 (2021), table IV, read as mol/L',
  memory: 'handbook value, quoted from memory: check it before relying on it',
  // Read through an open copy of the table that the European Chemicals Agency publishes.
  'clp-annex-vi':
    "harmonised: Regulation (EC) No 1272/2008, Annex VI (2024 or later); the supplier's safety data sheet decides",
  'harmonised-memory':
    "harmonised (Regulation (EC) No 1272/2008, Annex VI), quoted from memory: check the supplier's safety data sheet",
  'notified-memory':
    "usual among suppliers (no harmonised entry), quoted from memory: check the supplier's safety data sheet",
  practice: 'common practice, no source',
} as const satisfies Readonly<Record<string, string>>;

export type SourceKey = keyof typeof sources;
