/** Initials of a printed name, as they are written in a margin: `E. Marlow` gives `EM`. */
export function initialsOf(printedName: string): string {
  return printedName
    .split(/[\s.\-–]+/u)
    .filter((part) => /^\p{Lu}/u.test(part))
    .map((part) => [...part][0])
    .join('')
    .slice(0, 4);
}
