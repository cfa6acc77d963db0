import { nameParts } from '../../core/record/initials.ts';
import type { Role } from '../../core/record/objects.ts';
import type { Problem } from '../../core/result.ts';

/** What each role does, for the place where it is chosen. */
export const roleWords: Readonly<Record<Role, { readonly name: string; readonly does: string }>> = {
  student: { name: 'Student', does: 'keeps a practical record, signs and hands in' },
  instructor: { name: 'Instructor', does: 'comments, returns, countersigns' },
  department: { name: 'Department', does: 'adds people, binds and deposits records' },
};

/** Initials proposed from a printed name: `Maud E. Ferrant` gives `MEF`, at most four letters, none for a title. */
export function initialsFrom(printedName: string): string {
  return nameParts(printedName)
    .map((part) => [...part][0])
    .join('')
    .toUpperCase()
    .slice(0, 4);
}

/** What is wrong with a new passphrase, in words; empty when nothing is. */
export function passphraseError(problem: Problem | null): string {
  if (problem === null) return '';
  switch (problem.code) {
    case 'passphrase-too-short':
      if (problem.facts['length'] === 0) return 'Choose a passphrase.';
      return `At least ${problem.facts['shortest'] ?? 10} characters; this has ${problem.facts['length'] ?? 0}. Four or five words make a good one.`;
    case 'passphrase-too-long':
      return `At most ${problem.facts['longest'] ?? 200} characters.`;
    case 'passphrase-too-simple':
      return 'Too easy to guess: it repeats itself, or it is the name.';
    default:
      return 'This passphrase has a character that cannot be typed again.';
  }
}
