import type { Problem } from '../result.ts';

/**
 * Rules for a new passphrase: long enough, not one repeated pattern, not one's own name. No rules
 * about kinds of characters; NIST SP 800-63B-4 §3.1.1.2 (from memory) advises against them.
 */
export const passphraseLimits = { shortest: 10, longest: 200, fewestDifferent: 5 } as const;

/**
 * One text for what was typed, whichever way the keyboard composes "é" (RFC 8265 §4.2, OpaqueString:
 * NFC and plain spaces). Case and inner spaces count.
 */
export const normalPassphrase = (typed: string): string => typed.normalize('NFC').replace(/\p{Zs}/gu, ' ');

/**
 * What is wrong with a new passphrase, or null.
 *
 * @error passphrase-too-short, passphrase-too-long, passphrase-too-simple, lone-surrogate
 */
export function passphraseProblem(typed: string, printedName: string): Problem | null {
  const problem = (code: string, facts: Problem['facts'] = {}): Problem => ({
    code,
    where: 'passphrase',
    facts,
  });
  if (!typed.isWellFormed()) return problem('lone-surrogate');
  const letters = [...normalPassphrase(typed)];
  if (letters.length < passphraseLimits.shortest) {
    return problem('passphrase-too-short', {
      length: letters.length,
      shortest: passphraseLimits.shortest,
    });
  }
  if (letters.length > passphraseLimits.longest) {
    return problem('passphrase-too-long', { longest: passphraseLimits.longest });
  }
  const plain = letters.join('').toLowerCase();
  const isOwnName = plain.replaceAll(' ', '') === printedName.toLowerCase().replaceAll(' ', '');
  if (new Set(plain).size < passphraseLimits.fewestDifferent || isOwnName) {
    return problem('passphrase-too-simple');
  }
  return null;
}
