const greek: Readonly<Record<string, string>> = {
  α: 'alpha',
  β: 'beta',
  γ: 'gamma',
  δ: 'delta',
  ω: 'omega',
};

/**
 * A name as it is compared: small letters without accents, Greek letters in words, `sulph` as `sulf`,
 * everything else that is no letter or digit as a single blank.
 */
export const plainName = (text: string): string =>
  text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[αβγδω]/gu, (letter) => greek[letter] ?? letter)
    .replace(/\p{M}/gu, '')
    .replaceAll('sulph', 'sulf')
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/** Runs of three letters, the ends marked, so that a beginning weighs as much as an inside. */
export function trigramsOf(plain: string): ReadonlySet<string> {
  const marked = `  ${plain} `;
  const trigrams = new Set<string>();
  for (let at = 0; at + 3 <= marked.length; at += 1) trigrams.add(marked.slice(at, at + 3));
  return trigrams;
}

/**
 * Letters to insert, leave out, replace or swap with their neighbour to turn one text into the other
 * (restricted Damerau–Levenshtein distance).
 *
 * @param most gives up beyond this and returns `most + 1`
 * @source F. J. Damerau, Commun. ACM 7 (1964) 171 (from memory)
 */
export function editDistance(a: string, b: string, most: number): number {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, place) => place);
  for (let i = 1; i <= a.length; i += 1) {
    const current = [i];
    let least = i;
    for (let j = 1; j <= b.length; j += 1) {
      const isSame = a[i - 1] === b[j - 1];
      let cost = Math.min(
        (last[j] ?? 0) + 1,
        (current[j - 1] ?? 0) + 1,
        (last[j - 1] ?? 0) + (isSame ? 0 : 1),
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        cost = Math.min(cost, (beforeLast[j - 2] ?? 0) + 1);
      }
      current.push(cost);
      if (cost < least) least = cost;
    }
    if (least > most) return most + 1;
    beforeLast = last;
    last = current;
  }
  return Math.min(last[b.length] ?? most + 1, most + 1);
}
