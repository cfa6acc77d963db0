/** A piece of a name, and whether it must stay on one line. */
export interface NamePiece {
  readonly text: string;
  readonly isTied: boolean;
}

/**
 * A chemical name in pieces for the line it is set on: a locant stays with what it belongs to, so that no
 * line ends with the `4-` of `ethyl 4-aminobenzoate`. The pieces joined are the name, letter by letter.
 */
export function namePieces(name: string): readonly NamePiece[] {
  const pieces: NamePiece[] = [];
  let from = 0;
  for (const found of name.matchAll(locant)) {
    if (found.index > from) pieces.push({ text: name.slice(from, found.index), isTied: false });
    pieces.push({ text: found[0], isTied: true });
    from = found.index + found[0].length;
  }
  if (from < name.length) pieces.push({ text: name.slice(from), isTied: false });
  return pieces;
}

/**
 * A locant or a descriptor (`4-`, `2,4,6-`, `N,N-`, `2′-`, `L-`, `p-`, `(R)-`, `tert-`) with the first sign
 * of what follows: between letters of one word no line breaks.
 */
const locant =
  /(?<![\p{L}\p{N}])(?:(?:\d+[a-z]?[′']*|[NOSCDLompRSEZrα-ω])(?:,(?:\d+[a-z]?[′']*|[NOS]))*|\([RSEZ±+−\d,]+\)|tert|sec|cis|trans|meso|rac|iso)-[^\s-]/gu;
