/**
 * Texts to throw at a parser: pieces of its own language in wild order, mixed with characters from all
 * over Unicode, seeded so that a failure can be repeated. FAIRLEAF_FUZZ sets the number of texts.
 */
export const fuzzRuns = Number(process.env['FAIRLEAF_FUZZ'] ?? 100_000);

const odd = [
  '',
  ' ',
  '\t',
  '\n',
  '\u00A0',
  '\u2009',
  '\u200B',
  '\u202E',
  '\0',
  'é',
  'Ω',
  'Ж',
  '漢',
  '😀',
  '\uD83D',
  '١',
  '１',
  '²',
  '"',
  "'",
  '<',
  '&',
  '\\',
  '%',
  '$',
];

export function fuzzText(seed: number, pieces: readonly string[]): () => string {
  let state = seed >>> 0;
  const below = (limit: number): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 4294967296) * limit);
  };
  return () => {
    const length = below(14);
    let text = '';
    for (let i = 0; i < length; i += 1) {
      const from = below(100) < 92 ? pieces : odd;
      text += from[below(from.length)] ?? '';
    }
    // Now and then something very long, and now and then the same thing many times.
    if (below(2000) === 0) text = text.repeat(100);
    if (below(50) === 0) text += String.fromCodePoint(below(0xd7ff));
    return text;
  };
}
