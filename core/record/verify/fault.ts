import type { Problem } from '../../result.ts';
import { domainHash, type RecordCrypto, type SealedKind } from '../domain.ts';
import type { Sealed } from '../objects.ts';

/** Why an object could not be read, as a fact for the sentence: `the bytes do not fit their hash`. */
export function faultFacts(problem: Problem): Readonly<Record<string, string>> {
  switch (problem.code) {
    case 'wrong-hash':
      return { fault: 'its content does not fit the fingerprint stored beside it' };
    case 'wrong-shape':
      return { fault: `it does not have the form it should have (at ${problem.where})` };
    case 'format-newer':
      return { fault: 'it was written by a newer version of this program' };
    default:
      return { fault: 'it is not readable' };
  }
}

/** Remembers a damaged object under both its names, so that nothing is reported a second time for it. */
export function markDamaged(
  crypto: RecordCrypto,
  damaged: Set<string>,
  kind: SealedKind,
  sealed: Sealed,
): void {
  damaged.add(sealed.hash);
  damaged.add(domainHash(crypto, kind, sealed.bytes));
}
