import type { EntryContent } from '../../core/record/content.ts';

/**
 * What was typed in the moment before a page goes away and could not be saved any more. It lives in
 * the tab's own session storage: it survives a reload and a locked session, and dies with the tab,
 * so that nothing is left behind on a shared laboratory computer.
 */
export interface Stashed {
  readonly personId: string;
  readonly revision: number;
  readonly content: EntryContent;
}

const keyOf = (entryId: string): string => `fairleaf-unsaved-${entryId}`;

export function stash(entryId: string, stashed: Stashed): void {
  try {
    sessionStorage.setItem(keyOf(entryId), JSON.stringify(stashed));
  } catch {
    // A full or forbidden session storage only loses this last bridge; saving itself goes on.
  }
}

export function dropStash(entryId: string): void {
  try {
    sessionStorage.removeItem(keyOf(entryId));
  } catch {
    // See `stash`.
  }
}

/** The stash of this person for this entry; null when there is none or it cannot be read. */
export function readStash(entryId: string, personId: string): Stashed | null {
  try {
    const text = sessionStorage.getItem(keyOf(entryId));
    if (text === null) return null;
    const value = JSON.parse(text) as Partial<Stashed>;
    const isWhole =
      value.personId === personId &&
      typeof value.revision === 'number' &&
      value.content?.format === 'fairleaf-entry/1';
    return isWhole ? (value as Stashed) : null;
  } catch {
    return null;
  }
}
