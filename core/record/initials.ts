const titles = new Set(['dr', 'prof', 'professor', 'mr', 'mrs', 'ms', 'miss', 'mx', 'pd']);

/** The parts of a printed name that give initials: a title such as `Dr` is no part of the name. */
export function nameParts(printedName: string): readonly string[] {
  const parts = printedName.split(/[\s.\-–]+/u).filter((part) => /^\p{L}/u.test(part));
  const names = parts.filter((part) => !titles.has(part.toLowerCase()));
  return names.length > 0 ? names : parts;
}

/**
 * Initials of a printed name, four at most, as they are written in a margin: `Dr E. Marlow` gives `EM`.
 * For someone whose own initials are not known; empty only for a name without a letter.
 */
export function initialsOf(printedName: string): string {
  const parts = nameParts(printedName);
  // A `von` gives none, unless the whole name is written without capitals.
  const capitals = parts.filter((part) => /^\p{Lu}/u.test(part));
  return (capitals.length > 0 ? capitals : parts)
    .slice(0, 4)
    .map((part) => [...part][0] ?? '')
    .join('');
}
