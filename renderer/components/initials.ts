const titles = new Set(['dr', 'prof', 'professor', 'mr', 'mrs', 'ms', 'miss', 'mx', 'pd']);

/** The parts of a printed name that give initials: a title such as `Dr` is no part of the name. */
export function nameParts(printedName: string): readonly string[] {
  const parts = printedName.split(/[\s.\-–]+/u).filter((part) => /^\p{L}/u.test(part));
  const names = parts.filter((part) => !titles.has(part.toLowerCase()));
  return names.length > 0 ? names : parts;
}

/** Initials of a printed name, as they are written in a margin: `Dr E. Marlow` gives `EM`. */
export function initialsOf(printedName: string): string {
  return nameParts(printedName)
    .filter((part) => /^\p{Lu}/u.test(part))
    .map((part) => [...part][0])
    .join('')
    .slice(0, 4);
}
