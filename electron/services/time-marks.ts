import type { EntryContent } from '../../core/record/content.ts';
import { checkTimes } from '../../core/procedure/check-times.ts';
import { refuse } from './program.ts';

/** A time in the future is a slip or a wrong clock, and is not written down; anything else is only remarked on. */
export function timeRefusal(
  content: EntryContent,
  now: string,
): ReturnType<typeof refuse<'invalid-input'>> | null {
  const late = checkTimes(content, now).find((problem) => problem.code === 'time-in-future');
  return late === undefined
    ? null
    : refuse('invalid-input', late.where, { ...late.facts, reason: late.code });
}
