type Facts = Readonly<Record<string, string | number>>;
const said = (facts: Facts, key: string): string => String(facts[key] ?? '');

/** What is wrong or doubtful in the form of a compound of the department's own. */
export const compoundSentences: Readonly<Record<string, (facts: Facts) => string>> = {
  'own-name-missing': () => 'Give the name by which the compound is to be found.',
  'own-family-missing': () => 'Choose the family it belongs to.',
  'own-form-missing': () =>
    'Choose how it stands on the shelf: a liquid takes its density into a row, a solid does not.',
  'own-source-missing': () =>
    'Say where this comes from: book and edition, data sheet and date, own measurement.',
  'own-value-missing': () => 'There is no value here for what stands beside it. Write it, or clear the rest.',
  'own-temperature-missing': () => 'Say the temperature this value belongs to.',
  'own-range-turned': (f) =>
    `A range runs from the lower to the higher temperature: ${said(f, 'to')} °C does not lie above ${said(f, 'from')} °C. For a single figure leave the second box blank.`,
  'own-index-out-of-range': (f) =>
    `A refractive index lies between ${said(f, 'least')} and ${said(f, 'most')}. Look at the point.`,
  'own-fusion-not-positive': () => 'Melting takes up heat: an enthalpy of fusion is greater than zero.',
  'own-solvent-missing': () => 'Name the solvent.',
  'own-hazards-missing': () =>
    'A source is named, but no statement, pictogram or signal word. Write them, or clear the rest.',
  'own-group-missing': () => 'Choose the storage group, or clear the rest.',
  'registry-number-wrong': (f) =>
    `${said(f, 'typed')} is no registry number: its last digit does not check, or its form is not 50-78-2. Look for two digits that changed places.`,
  'hazard-code-malformed': (f) =>
    `“${said(f, 'code')}” is not written like a hazard statement: H302, H302+H312, EUH066.`,
  'hazard-code-unknown': (f) =>
    `There is no hazard statement ${said(f, 'code')}. Look at the label or the safety data sheet once more.`,
  'precaution-code-malformed': (f) =>
    `“${said(f, 'code')}” is not written like a precautionary statement: P280, P305+P351+P338.`,
  'pictogram-unknown': (f) => `There is no pictogram ${said(f, 'code')}: they run from GHS01 to GHS09.`,

  'own-name-in-library': (f) =>
    `The library the program comes with has ${said(f, 'other')} under this name. This one will stand beside it as the department’s own edition.`,
  'own-registry-in-library': (f) =>
    `The library the program comes with has ${said(f, 'other')} under this registry number. This one will stand beside it as the department’s own edition.`,
  'own-registry-other-formula': (f) =>
    `This registry number belongs to ${said(f, 'other')}, ${said(f, 'formula')}, in the library the program comes with, and the formula here is another one. One of the two is not right.`,
  'own-melts-above-boiling': () =>
    'It would boil below the temperature at which it melts. Right for what sublimes; else look at both once more.',
};
