import type { FieldChange } from './objects.ts';

/** A draft is described in the trail at most this long after its first change that is not yet there. */
export const auditAfterSeconds = 60;

/**
 * Is it time to write the changes of a draft into the trail? Every pause in typing saves the draft;
 * an event each time would bury the trail. Changes of up to a minute by one person become one event.
 *
 * @param pendingSince first save that the trail does not know, UTC ISO 8601; null when it knows all
 * @param pendingBy person who made those saves
 */
export function isDraftAuditDue(
  pendingSince: string | null,
  pendingBy: string | null,
  save: { readonly at: string; readonly person: string },
): boolean {
  if (pendingSince === null) return false;
  if (pendingBy !== save.person) return true;
  const waited = (Date.parse(save.at) - Date.parse(pendingSince)) / 1000;
  // A clock set back must not hold the audit up.
  return !(waited >= 0 && waited < auditAfterSeconds);
}

/**
 * Merges changes made one after the other: the first old value, the last new one, and nothing for a
 * field that ends as it began. Order is that of first appearance.
 */
export function coalesceChanges(...runs: readonly (readonly FieldChange[])[]): readonly FieldChange[] {
  const merged = new Map<string, FieldChange>();
  for (const change of runs.flat()) {
    const earlier = merged.get(change.path);
    merged.set(change.path, earlier === undefined ? change : { ...earlier, new: change.new });
  }
  return [...merged.values()].filter((change) => change.old !== change.new);
}
