/**
 * Storage groups of a small teaching store, and which of them are kept apart. Common practice, no
 * source: a department's own scheme and the suppliers' safety data sheets come first.
 */
export const incompatibilityGroups = {
  flammable: 'flammable liquid',
  'organic-acid': 'organic acid',
  'mineral-acid': 'mineral acid',
  'oxidising-acid': 'oxidising acid',
  base: 'base',
  oxidiser: 'oxidiser',
  reductant: 'reducing agent',
  'water-reactive': 'reacts with water',
  'acid-derivative': 'anhydride or acid chloride',
  toxic: 'toxic substance',
  halogenated: 'halogenated liquid',
  'general-organic': 'other organic substance',
  'general-inorganic': 'other inorganic substance',
} as const satisfies Readonly<Record<string, string>>;

export type IncompatibilityGroup = keyof typeof incompatibilityGroups;

const kept: readonly (readonly [IncompatibilityGroup, readonly IncompatibilityGroup[]])[] = [
  ['flammable', ['oxidiser', 'oxidising-acid', 'mineral-acid']],
  ['organic-acid', ['oxidising-acid', 'oxidiser', 'base', 'water-reactive']],
  ['mineral-acid', ['base', 'water-reactive', 'reductant', 'acid-derivative']],
  [
    'oxidising-acid',
    ['base', 'reductant', 'water-reactive', 'general-organic', 'acid-derivative', 'halogenated'],
  ],
  ['base', ['acid-derivative', 'halogenated']],
  ['oxidiser', ['reductant', 'general-organic', 'water-reactive', 'acid-derivative', 'halogenated']],
];

/** Groups that are kept apart from `group` on the shelf and in the waste. Common practice, no source. */
export function keptApartFrom(group: IncompatibilityGroup): readonly IncompatibilityGroup[] {
  const apart = new Set<IncompatibilityGroup>();
  for (const [one, others] of kept) {
    if (one === group) others.forEach((other) => apart.add(other));
    else if (others.includes(group)) apart.add(one);
  }
  return [...apart];
}
