import type { OwnCompoundContent } from './own-compound.ts';

const trimmed = (text: string): string => text.trim().replace(/\s+/gu, ' ');

/** Every text of an object or list without blanks around it; what is no text stays as it is. */
function tidied<T>(value: T): T {
  if (typeof value === 'string') return trimmed(value) as T;
  if (Array.isArray(value)) return value.map((item: unknown) => tidied(item)) as T;
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, tidied(item)])) as T;
}

const isBlank = (value: unknown): boolean =>
  typeof value === 'string'
    ? value === ''
    : typeof value === 'object' && value !== null && Object.values(value).every(isBlank);

const withoutBlanks = <T>(list: readonly T[]): readonly T[] => list.filter((item) => !isBlank(item));

/** `h302 + h312` as it is printed: `H302+H312`. Small letters behind the digits mean something and stay. */
const code = (text: string): string =>
  text
    .replace(/\s*\+\s*/gu, '+')
    .replace(
      /(^|\+)(euh|h|p|ghs)(?=\d)/giu,
      (_, before: string, word: string) => before + word.toUpperCase(),
    );

const codes = (list: readonly string[]): readonly string[] => [...new Set(withoutBlanks(list).map(code))];

/** The form as it is kept: no blanks around a text, no blank lines in a list, no name twice, codes as printed. */
export function tidyOwnCompound(typed: OwnCompoundContent): OwnCompoundContent {
  const content = tidied(typed);
  const { hazards } = content;
  return {
    ...content,
    synonyms: [...new Set(withoutBlanks(content.synonyms))].filter((one) => one !== content.name),
    acidities: withoutBlanks(content.acidities),
    solubilities: withoutBlanks(content.solubilities).map((one) => ({
      ...one,
      points: withoutBlanks(one.points),
    })),
    stockStrengths: withoutBlanks(content.stockStrengths),
    hazards: {
      ...hazards,
      pictograms: codes(hazards.pictograms),
      statements: codes(hazards.statements),
      precautions: codes(hazards.precautions),
    },
  };
}
