import type { EntryContent } from '../../../core/record/content.ts';

const keyOf = (entryId: string): string => `fairleaf-bench-${entryId}`;

/** The first step that is not ticked off; the last one when all are. */
export function firstOpenStep(content: EntryContent): number {
  const index = content.steps.findIndex(
    (step) => content.stepRecords.find((record) => record.stepId === step.id)?.done == null,
  );
  return index < 0 ? Math.max(0, content.steps.length - 1) : index;
}

/** Where the bench was left in this tab, so that a reload does not lose the place; else the first open step. */
export function rememberedStep(entryId: string, content: EntryContent): number {
  try {
    const index = content.steps.findIndex((step) => step.id === sessionStorage.getItem(keyOf(entryId)));
    if (index >= 0) return index;
  } catch {
    // Without session storage the first open step is the best guess.
  }
  return firstOpenStep(content);
}

export function rememberStep(entryId: string, stepId: string): void {
  try {
    sessionStorage.setItem(keyOf(entryId), stepId);
  } catch {
    // See `rememberedStep`.
  }
}
