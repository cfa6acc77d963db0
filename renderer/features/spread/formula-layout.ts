/** A printed formula taken apart for setting: `n = m · w / M` has one fraction. */
export type Piece =
  | { readonly kind: 'text'; readonly markup: string }
  | { readonly kind: 'fraction'; readonly over: string; readonly under: string };

/**
 * Sets the single division of a printed formula as a fraction. A side with several divisions, or one
 * inside brackets, stays on the line, where it can be read without guessing what belongs to what.
 */
export function formulaPieces(display: string): readonly Piece[] {
  const sides = display.split(' = ');
  const pieces: Piece[] = [];
  sides.forEach((side, i) => {
    if (i > 0) pieces.push({ kind: 'text', markup: ' = ' });
    pieces.push(...sidePieces(side));
  });
  return pieces;
}

function sidePieces(side: string): readonly Piece[] {
  const cuts = topLevel(side, '/');
  const sums = [...topLevel(side, '+'), ...topLevel(side, '−'), ...topLevel(side, '-')];
  const cut = cuts[0];
  if (cut === undefined || cuts.length > 1 || sums.length > 0) return [{ kind: 'text', markup: side }];
  const over = side.slice(0, cut).trim();
  const rest = side.slice(cut + 1).trim();
  // What follows a further multiplication sign stands beside the fraction: m / M · 100 %.
  const times = topLevel(rest, '·')[0] ?? topLevel(rest, '×')[0];
  const under = (times === undefined ? rest : rest.slice(0, times)).trim();
  const after = times === undefined ? '' : rest.slice(times);
  const fraction: Piece = { kind: 'fraction', over: bare(over), under: bare(under) };
  return after === '' ? [fraction] : [fraction, { kind: 'text', markup: ` ${after}` }];
}

/** Places of a sign outside every bracket, subscript and superscript. */
function topLevel(text: string, sign: string): readonly number[] {
  const places: number[] = [];
  let depth = 0;
  for (let i = 0; i < text.length; i += 1) {
    const character = text.charAt(i);
    if ('([{'.includes(character)) depth += 1;
    else if (')]}'.includes(character)) depth -= 1;
    else if (depth === 0 && character === sign && text.charAt(i - 1) === ' ' && text.charAt(i + 1) === ' ')
      places.push(i);
  }
  return places;
}

/** Brackets around the whole are not needed above or below a fraction's bar. */
function bare(text: string): string {
  if (!text.startsWith('(') || !text.endsWith(')')) return text;
  let depth = 0;
  for (let i = 0; i < text.length; i += 1) {
    if (text.charAt(i) === '(') depth += 1;
    if (text.charAt(i) === ')') depth -= 1;
    if (depth === 0 && i < text.length - 1) return text;
  }
  return text.slice(1, -1);
}
