import type { Section } from '../../core/record/content.ts';

/** The headings of an entry as they are printed. */
export const sectionWords: Readonly<Record<Section | 'title', string>> = {
  title: 'Title',
  aim: 'Aim',
  principle: 'Principle',
  requirements: 'Requirements',
  hazards: 'Hazards and precautions',
  reagents: 'Reagent table',
  procedure: 'Procedure',
  observations: 'Observations',
  calculation: 'Calculation',
  result: 'Result',
  discussion: 'Discussion',
};
