import type { Deviation } from '../../../core/entry/entry-computation.ts';

/** Id of the element on the page that a deviation stands at. */
export function deviationPlace({ section, anchor }: Deviation): string {
  if (anchor === null) return `section-${section}`;
  return section === 'reagents' ? `row-${anchor}` : `step-${anchor}`;
}
