import type { EntryState } from './objects.ts';

/**
 * Why there is a new version: nothing for the first, the reason of an amendment, or the return that it
 * answers.
 *
 * @param wasEverCountersigned true when an earlier version was: what follows is an amendment still
 * @param returnRemark what the last return said, '' for none
 */
export function versionReason(
  state: EntryState,
  wasEverCountersigned: boolean,
  facts: { readonly amendmentReason: string | null; readonly returnRemark: string },
): string {
  if (state === 'amending') return facts.amendmentReason ?? '';
  if (state !== 'returned') return '';
  const answer = facts.returnRemark.trim() === '' ? 'Returned' : `Returned: ${facts.returnRemark.trim()}`;
  return wasEverCountersigned && facts.amendmentReason !== null
    ? `${facts.amendmentReason}\n${answer}`
    : answer;
}
