type Facts = Readonly<Record<string, string | number>>;

const n = (facts: Facts, key: string): string => String(facts[key] ?? '').replace('-', '−');
const t = (facts: Facts, key: string): string => String(facts[key] ?? '');

/** Sentences for what the calculations beside the reagent table complain about. */
export const calculationSentences: Readonly<Record<string, (facts: Facts) => string>> = {
  'field-missing': (f) => `${t(f, 'label')}: still blank.`,
  'field-malformed': (f) => `${t(f, 'label')}: this needs a number with its unit.`,
  'choice-missing': (f) => `${t(f, 'label')}: choose one.`,
  'choice-unknown': (f) => `${t(f, 'label')}: that choice is not known.`,
  'series-too-short': (f) => `${t(f, 'label')}: at least ${n(f, 'least')} lines are needed.`,
  'not-cooling': (f) => `${n(f, 'to')} °C is not below ${n(f, 'from')} °C: nothing to cool.`,
  'below-ice': (f) => `Ice alone cools to 0 °C, not to ${n(f, 'to')} °C: choose a freezing mixture.`,
  'mixture-too-warm': (f) =>
    `This mixture stops at ${n(f, 'reaches')} °C and cannot reach ${n(f, 'wanted')} °C.`,
  'not-weaker': (f) =>
    `The strength wanted (${n(f, 'target')}) is not below that of the stock (${n(f, 'stock')}): diluting cannot make it stronger.`,
  'strength-zero': () => 'A strength of zero is pure solvent.',
  'strengths-swapped': (f) =>
    `The stronger solution (${n(f, 'high')} %) must be stronger than the weaker (${n(f, 'low')} %).`,
  'target-outside': (f) =>
    `${n(f, 'target')} % lies outside ${n(f, 'low')} to ${n(f, 'high')} %: mixing these two cannot give it.`,
  'outside-density-table': (f) =>
    `The published table for ${t(f, 'solute')} runs from ${n(f, 'least')} to ${n(f, 'most')} % w/w: type the density from the label instead.`,
  'density-gap': (f) =>
    `The published table for ${t(f, 'solute')} has nothing between ${n(f, 'from')} and ${n(f, 'to')} % w/w: type the density from the label instead.`,
  'density-ambiguous': (f) =>
    `For ${t(f, 'solute')} one density from ${n(f, 'from')} g/mL on belongs to two strengths: the strength cannot be read from it.`,
  'rate-zero': () => 'At a rate of zero the addition never ends.',
  'mass-zero': () => 'There is nothing to recrystallise: the mass is zero.',
  'outside-solubility': (f) =>
    `${n(f, 'at')} °C lies outside the solubilities given (${n(f, 'least')} to ${n(f, 'most')} °C): add a point, nothing is extrapolated.`,
  'solubility-zero': () =>
    'A solubility of zero cannot be interpolated: leave that point out or give its small value.',
  'not-less-soluble-cold': (f) =>
    `It is no less soluble cold (${n(f, 'cold')}) than hot (${n(f, 'hot')}): cooling will not make it crystallise.`,
  'mixture-repeated': (f) => `${n(f, 'share')} % v/v stands in two lines: keep one of them.`,
  'outside-mixtures': (f) =>
    `${n(f, 'at')} % v/v lies outside the mixtures given (${n(f, 'least')} to ${n(f, 'most')} % v/v): add a line, nothing is extrapolated.`,
  'better-solvent-missing': () =>
    'The line for the better solvent alone (100 % v/v) is missing: it says how much of it dissolves the product.',
  'clouding-beyond': (f) =>
    `Even with ${n(f, 'least')} % v/v of the better solvent everything stays dissolved hot: add a line with less of it.`,
  'hydrate-lighter': () =>
    'The crystals must weigh more per mole than the anhydrous substance: check the two formulae.',
  'portions-whole': (f) => `${n(f, 'typed')} portions: give a whole number from 1 to 20.`,
  'partition-positive': () => 'The partition coefficient must be above zero.',
  'volume-zero': () => 'The volume must be above zero.',
  'pressure-zero': () => 'The pressure must be above zero.',
  'heat-positive': () => 'The enthalpy must be above zero.',
  'outside-model': () =>
    'The equation gives no sensible boiling point there: the pressure is too far from the known one.',
  'not-near-normal': (f) =>
    `${n(f, 'pressure')} mmHg is too far from 760 mmHg for this rule: use the boiling point at another pressure.`,
  'thread-not-outside': (f) =>
    `Immersed to ${n(f, 'immersed')} °C and reading ${n(f, 'reading')} °C, no thread stands outside: nothing to correct.`,
  'standards-alike': () => 'The standards all read the same: a line needs readings that differ.',
  'model-decomposes': () =>
    'A substance that decomposes on melting has no melting point to compare: the model does not apply.',
  'clear-above-pure': (f) =>
    `The clear point (${n(f, 'clear')} °C) lies above the melting point (${n(f, 'pure')} °C): check the thermometer before anything else.`,
  'range-reversed': () => 'The range is the wrong way round: the lower temperature comes first.',
  'index-absurd': (f) =>
    `A refractive index of ${n(f, 'index')} is not one of a liquid: usual values lie between 1.3 and 1.7.`,
  'pack-empty': () => 'A pack of nothing has no price per gram: give its mass.',
  'price-negative': () => 'A price below zero: check the sign.',
  'green-unbalanced': () => 'Atom economy needs an equation that is balanced in one way.',
  'product-not-in-equation': (f) => `${t(f, 'formula')} does not stand on the right of the equation.`,
  'product-not-weighed': () => 'Weigh the product first.',
  'product-outweighs-reactants': () =>
    'More product was weighed than reactants were taken: it holds water or solvent, or a mass is missing.',
  'solution-mass-unknown': (f) =>
    `${t(f, 'name')}: the density of this solution is missing, so its mass does not count yet.`,
  'mass-unknown': (f) => `The mass of ${t(f, 'name')} taken is not known: see its row.`,
  'quantity-unreadable': (f) =>
    `“${t(f, 'typed')}” is not a number with a unit: write it like 2.00 g, 5.0 mL, 1.082 g/mL or 98 %.`,
  'field-unknown': (f) => `${t(f, 'calculation')} has no field called ${t(f, 'key')}.`,
  'calculation-unknown': (f) => `There is no calculation called ${t(f, 'calculation')}.`,
};
