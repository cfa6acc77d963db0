/**
 * Sentences for what quantities, formulae, equations and workings complain about. Each says what is
 * wrong and, where there is one, what to write instead; the place is shown by whoever shows it.
 */
type Facts = Readonly<Record<string, string | number>>;

const text = (facts: Facts, key: string): string => String(facts[key] ?? '');
const quoted = (facts: Facts, key: string): string => `“${text(facts, key)}”`;

const dimensionWords: Readonly<Record<string, string>> = {
  mass: 'a mass',
  volume: 'a volume',
  drops: 'a number of drops',
  amount: 'an amount of substance',
  'molar-mass': 'a molar mass',
  density: 'a density',
  'amount-concentration': 'an amount concentration',
  'equivalent-concentration': 'a normality',
  equivalence: 'equivalents per mole',
  molality: 'a molality',
  fraction: 'a percentage',
  'mass-fraction': 'a percentage by mass (% w/w)',
  'mass-per-volume': 'a percentage of mass in volume (% w/v)',
  'volume-fraction': 'a percentage by volume (% v/v)',
  'mole-percent': 'a mole percentage',
  'parts-per-million': 'parts per million',
  'oxygen-volumes': 'volumes of oxygen',
  equivalents: 'equivalents',
  number: 'a plain number',
  temperature: 'a temperature',
  'temperature-difference': 'a temperature difference',
  time: 'a time',
  'addition-rate': 'a rate of addition',
  'drop-rate': 'a drop rate',
  'heating-rate': 'a heating rate',
  pressure: 'a pressure',
  energy: 'an energy',
  'molar-energy': 'a molar energy',
  'molar-heat': 'a molar heat capacity',
  'specific-heat': 'a specific heat capacity',
  'specific-energy': 'a specific energy',
  'cryoscopic-constant': 'a cryoscopic constant',
  expansion: 'a coefficient of expansion',
  acidity: 'a pH',
};
const dimensions = (joined: string): string =>
  joined
    .split(', ')
    .map((one) => dimensionWords[one] ?? one)
    .join(' or ');

const unit = (facts: Facts, key: string): string => {
  const symbol = text(facts, key);
  return symbol === '1' || symbol === '' ? '' : ` ${symbol === 'Δ°C' ? '°C' : symbol}`;
};
const number = (facts: Facts, key: string): string => text(facts, key).replace('-', '−');

const meant = (facts: Facts): string =>
  text(facts, 'suggestion') === '' ? '' : ` Was ${text(facts, 'suggestion')} meant?`;

/** One sentence or two per code. */
export const numberSentences: Readonly<Record<string, (facts: Facts) => string>> = {
  'formula-contradicts-structure': (facts) =>
    `The formula is ${text(facts, 'typed')}, the structure is ${text(facts, 'structure')} (${text(facts, 'by')}). One of the two is wrong.`,
  'structure-unreadable': () => 'This structure cannot be read: is it a SMILES?',
  'structure-open': () => 'A place in this structure is left open, so it has no formula.',
  'number-missing': () => 'A number is missing.',
  'number-comma': () =>
    'A comma can mean two things. Write the decimal sign as a point, and no sign between thousands.',
  'number-digits': (facts) => `${quoted(facts, 'typed')} is a digit of another kind. Use the figures 0 to 9.`,
  'number-spaced': () => 'A blank stands inside the number. Write it without blanks.',
  'number-too-long': (facts) =>
    `A number of more than ${text(facts, 'longest')} characters is surely a slip.`,
  'number-too-large': () => 'This number is too large to mean anything in a laboratory.',
  'number-too-small': () => 'This number is too small to mean anything in a laboratory.',
  'number-unreadable': (facts) =>
    `${quoted(facts, 'typed')} is not part of a number. Write it like 4.50 or 1.5e-3.`,
  'unit-unknown': (facts) => `${quoted(facts, 'unit')} is not a unit known here.${meant(facts)}`,
  'unit-does-not-fit': (facts) =>
    `${text(facts, 'unit')} is the unit of ${dimensions(text(facts, 'dimension'))}; here ${dimensions(text(facts, 'expected'))} is needed.`,
  'quantity-zero': (facts) => `${dimensions(text(facts, 'dimension'))} cannot be zero.`.replace(/^a/, 'A'),
  'quantity-out-of-range': (facts) =>
    `${number(facts, 'typed')}${unit(facts, 'unit')} cannot be right: here ${dimensions(text(facts, 'dimension'))} ` +
    `lies between ${number(facts, 'least')} and ${number(facts, 'most')}${unit(facts, 'boundsUnit')}.`,
  'instrument-unknown': (facts) => `${quoted(facts, 'instrument')} is not in the list of instruments.`,
  'instrument-does-not-fit': (facts) =>
    `The ${text(facts, 'instrument')} measures ${dimensions(text(facts, 'measures'))}, not ${text(facts, 'unit')}.`,
  'instrument-too-small': (facts) =>
    `The ${text(facts, 'instrument')} holds ${text(facts, 'capacityMl')} mL: choose a larger one, or one row for each filling.`,
  'instrument-one-mark': (facts) =>
    `The ${text(facts, 'instrument')} has one mark and measures ${text(facts, 'capacityMl')} mL only.`,

  'division-by-zero': (facts) => `${text(facts, 'title')}: cannot be worked out, because it divides by zero.`,
  'outside-domain': (facts) =>
    `${text(facts, 'title')}: cannot be worked out, because a root or a logarithm of a negative number (or of zero) would be needed.`,
  'result-too-large': (facts) => `${text(facts, 'title')}: the result is too large to mean anything.`,

  'formula-missing': () => 'A formula is missing.',
  'formula-too-long': (facts) => `A formula of more than ${text(facts, 'longest')} characters is not read.`,
  'formula-too-large': () => 'There are more atoms in this formula than in any substance of a practical.',
  'formula-too-deep': (facts) => `Brackets are nested more than ${text(facts, 'deepest')} deep.`,
  'formula-stray': (facts) => `${quoted(facts, 'typed')} does not belong in a formula.`,
  'formula-blank': () =>
    'A blank ends the formula here. A hydrate is written with a dot: CuSO4·5H2O or CuSO4.5H2O.',
  'formula-starts-with-number': () =>
    'A formula does not begin with a number. In an equation the coefficient stands before it; an isotope is written [13C].',
  'unknown-element': (facts) => `There is no element ${quoted(facts, 'symbol')}.${meant(facts)}`,
  'symbol-case-doubt': (facts) =>
    `${text(facts, 'typed')} is read as ${text(facts, 'name')}. If ${text(facts, 'other')} was meant, write both letters as capitals.`,
  'group-abbreviation': (facts) =>
    `${text(facts, 'symbol')} is a short form of a group. Write it out: ${text(facts, 'meaning')}.`,
  'no-standard-atomic-weight': (facts) =>
    `There is no standard atomic weight of ${text(facts, 'name')} (${text(facts, 'symbol')}), which has no stable isotopes.${meant(facts)}`,
  'isotope-unknown': (facts) => `The mass of the isotope ${text(facts, 'isotope')} is not in the table.`,
  'bracket-not-closed': (facts) => `The bracket ${quoted(facts, 'bracket')} is not closed.`,
  'bracket-not-opened': (facts) => `The bracket ${quoted(facts, 'bracket')} was never opened.`,
  'bracket-mismatch': (facts) =>
    `Here stands ${quoted(facts, 'found')}, but ${quoted(facts, 'expected')} is needed to close the bracket.`,
  'bracket-empty': () => 'There is nothing between the brackets.',
  'count-zero': () =>
    'A number of atoms or units cannot be zero. (A full stop after a formula marks a hydrate, not a decimal.)',
  'hydrate-missing': () => 'After the dot a formula is needed, as in ·5H2O.',
  'hydrate-number-unreadable': (facts) =>
    `The number after the dot cannot be read: ${quoted(facts, 'typed')}. Write 5, 2.5 or 1/2.`,
  'charge-needs-caret': (facts) =>
    `If ${quoted(facts, 'typed')} is a charge, write it with a caret: Na^+, SO4^2-.`,
  'charge-unreadable': () => 'The charge cannot be read. Write the number first: ^2-, ^3+, ^-.',
  'charge-twice': () => 'Two charges are given. Write one, at the end.',
  'charge-inside-bracket': () => 'The charge belongs at the end of the formula, outside the brackets.',

  'equation-missing': () => 'An equation is missing.',
  'equation-too-long': (facts) =>
    `An equation of more than ${text(facts, 'longest')} characters is not read.`,
  'arrow-missing': () => 'The arrow is missing. Write -> between the two sides.',
  'arrow-twice': () => 'There is a second arrow. Write each step as an equation of its own.',
  'side-empty': (facts) =>
    text(facts, 'side') === 'left' ? 'Nothing stands before the arrow.' : 'Nothing stands after the arrow.',
  'species-missing': () => 'Between two plus signs a formula is missing.',
  'too-many-species': (facts) => `An equation of more than ${text(facts, 'most')} substances is not read.`,
  'coefficient-zero': () => 'A coefficient cannot be zero. Leave the substance out.',
  'coefficient-unreadable': (facts) => `The coefficient cannot be read: ${quoted(facts, 'typed')}.`,
  'electron-in-equation': () =>
    'Electrons are not balanced here. Write the whole reaction, with the oxidant and the reductant.',
  'other-solutions': (facts) =>
    `The elements allow ${text(facts, 'independent')} independent solutions, so arithmetic alone cannot settle the coefficients. ` +
    'Check that these are the ones the chemistry asks for; coefficients you type are kept if they balance.',
  'smallest-not-proven': () => 'There may be a solution with smaller numbers; the search was ended.',
  'no-solution': () =>
    'No coefficients balance this equation. A substance is missing, or a formula is wrong.',
  'no-positive-solution': () =>
    'No coefficients balance this equation with every substance where it stands. One is on the wrong side, or one is missing.',
  'coefficients-too-large': () => 'The coefficients come out too large to be right. Check the formulae.',
  'species-takes-no-part': (facts) =>
    `${text(facts, 'species')} takes no part: it would have the coefficient zero. Leave it out, or add what it turns into.`,
  'species-on-wrong-side': (facts) =>
    `${text(facts, 'species')} would have to stand on the other side of the arrow.`,
  'element-one-sided': (facts) =>
    `${text(facts, 'element')} stands only ${text(facts, 'side') === 'left' ? 'before' : 'after'} the arrow.`,
  'charge-one-sided': () => 'The charges cannot cancel: an ion of the other sign is missing.',
  'same-formula-both-sides': (facts) =>
    `${text(facts, 'species')} stands on both sides. Isomers do; a catalyst or solvent is left out of the equation.`,
};
