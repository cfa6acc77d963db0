import type { EntryBundle } from './bundle.ts';

/** First letters of the words of a name, three at most: for someone whose own initials are not known. */
const lettersOf = (name: string): string =>
  name
    .split(/[\s-]+/)
    .filter((word) => !/^(dr|prof|mr|mrs|ms)\.?$/i.test(word))
    .map((word) => [...word][0] ?? '')
    .slice(0, 3)
    .join('')
    .toUpperCase();

export const initialsOf = (
  people: EntryBundle['people'],
  who: { readonly person: string; readonly printedName: string },
): string => people.find((one) => one.id === who.person)?.initials ?? lettersOf(who.printedName);
