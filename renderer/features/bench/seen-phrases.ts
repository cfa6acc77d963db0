/** What is seen most at a bench, in the words of the trade, grouped as one looks: solution, solid, gas and heat. */
export const seenPhrases = [
  ['all dissolved', 'clear solution', 'cloudy', 'slurry', 'two layers', 'oil separates'],
  [
    'precipitate',
    'crystals form',
    'colourless',
    'white',
    'yellow',
    'brown',
    'colour deepens',
    'colour fades',
  ],
  ['gas given off', 'gas has ceased', 'fumes', 'boils gently', 'boils hard', 'warms by itself', 'no change'],
] as const;

/** A phrase put behind what stands there, with the clock time it was seen at: `14:22 crystals form.` */
export function withPhrase(seen: string, clock: string, phrase: string): string {
  const before = seen.trimEnd();
  const gap = before === '' ? '' : /[.;:!?]$/u.test(before) ? ' ' : '. ';
  return `${before}${gap}${clock} ${phrase}.`;
}
