import type { Problem } from '../result.ts';
import { calculationSentences } from './calculations.ts';
import { compoundSentences } from './compounds.ts';
import { numberSentences } from './numbers.ts';
import { reactionSentences } from './reaction.ts';
import { recordSentences } from './record.ts';
import { serviceSentences } from './services.ts';

type Sentences = Readonly<Record<string, (facts: Problem['facts']) => string>>;

const areas: readonly Sentences[] = [
  numberSentences,
  calculationSentences,
  compoundSentences,
  reactionSentences,
  recordSentences,
  serviceSentences,
];

/** Every code that has words; a test holds this against every code the core can emit. */
export const sentences: Sentences = Object.assign({}, ...areas) as Sentences;

/**
 * What is wrong, in the words of the trade. A code without words is a bug, and is shown as itself
 * rather than hidden.
 */
export function problemSentence({ code, facts }: Pick<Problem, 'code' | 'facts'>): string {
  return sentences[code]?.(facts) ?? `(${code})`;
}
