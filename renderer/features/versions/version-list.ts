import type { EntryView, SignatureView, VersionCard } from '../../../core/contract/views.ts';
import type { Meaning } from '../../../core/record/objects.ts';

/** What a signature did, in one word for the list beside the pages. */
export const meaningWords: Readonly<Record<Meaning, { readonly word: string; readonly sign: string }>> = {
  performed: { word: 'Signed', sign: '↑' },
  amended: { word: 'Amended', sign: '↑' },
  returned: { word: 'Returned', sign: '↩' },
  countersigned: { word: 'Countersigned', sign: '✓' },
  deposited: { word: 'Deposited', sign: '▣' },
};

/** One side of a comparison: a signed version, or null for the draft. */
export type Side = number | null;

export const sideLabel = (side: Side): string => (side === null ? 'the draft' : `version ${side}`);

/** Whether there is a draft newer than the last signed version. */
export const hasDraft = (entry: EntryView): boolean =>
  entry.versions.length === 0 ||
  entry.state === 'draft' ||
  entry.state === 'returned' ||
  entry.state === 'amending';

/** Newest first. */
export const newestFirst = (versions: readonly VersionCard[]): readonly VersionCard[] =>
  versions.toSorted((a, b) => b.n - a.n);

/**
 * The two sides to begin with: what the address names, else the newest state beside the one before.
 * Null where there is nothing to compare with.
 */
export function chosenSides(
  entry: EntryView,
  from: number | null,
  to: number | null,
): { readonly from: number; readonly to: Side } | null {
  const numbers = entry.versions.map((version) => version.n);
  const last = Math.max(...numbers);
  if (numbers.length === 0) return null;
  if (from !== null && numbers.includes(from)) {
    return { from, to: to !== null && numbers.includes(to) ? to : hasDraft(entry) ? null : last };
  }
  if (hasDraft(entry)) return { from: last, to: null };
  return numbers.length < 2 ? null : { from: Math.max(...numbers.filter((n) => n !== last)), to: last };
}

/** Signatures of a version in the order they were given. */
export const inOrder = (signatures: readonly SignatureView[]): readonly SignatureView[] =>
  signatures.toSorted((a, b) => a.signedAt.localeCompare(b.signedAt));
