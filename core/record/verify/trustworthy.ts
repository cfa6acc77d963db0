import type { KnownSignature, Surroundings } from './signatures.ts';

const list = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`;

/** Beyond this many the entries are counted and not named. */
const mostNamed = 8;

/**
 * What can still be relied on. A version stands by itself: its signatures cover its content, so it is
 * good or bad whatever happened to the rest of the file.
 */
export function trustworthy(around: Surroundings, signatures: readonly KnownSignature[]): string {
  const { entries, findings, people, trail, input } = around;
  const isVouchedFor = [...people.certificates.values()].some((known) => known.isTrusted);
  if (!isVouchedFor && people.isPinned) {
    return 'Nothing here is vouched for by the department whose key was given. Ask the department for its fingerprint and compare again.';
  }
  if (findings.brokenCount === 0) return soundWords(around);
  const goodVersions = new Set<string>();
  for (const version of entries.byHash.values()) {
    const own = signatures.filter((one) => one.payload.versionHash === version.hash);
    if (own.length > 0 && own.every((one) => one.isGood)) goodVersions.add(version.hash);
  }
  const good: string[] = [];
  const bad: string[] = [];
  for (const [entry, versions] of entries.byEntry) {
    const isGood = !entries.faulty.has(entry) && versions.every((version) => goodVersions.has(version.hash));
    (isGood ? good : bad).push(entries.placeOf(entry));
  }
  const sentences: string[] = [];
  if (good.length > 0) {
    sentences.push(
      good.length <= mostNamed
        ? `The signed content of ${list(good)} is unchanged and its signatures hold.`
        : `The signed content of ${good.length} of ${good.length + bad.length} entries is unchanged and its signatures hold.`,
    );
  } else if (entries.count > 0 || signatures.length > 0) {
    sentences.push('No signed entry could be confirmed in full.');
  }
  if (trail.firstBroken !== null && trail.firstBroken > 1) {
    const anchor = lastAnchor(around, signatures);
    sentences.push(
      anchor === null
        ? `The audit trail hangs together up to event ${trail.firstBroken - 1}, but no signature confirms that part.`
        : `The audit trail up to event ${anchor.payload.eventSeq} is confirmed by the signature of ${anchor.payload.signer.printedName}.`,
    );
  } else if (trail.firstBroken === null && input.scope === 'notebook') {
    sentences.push(`The audit trail itself hangs together, up to event ${trail.last}.`);
  }
  return sentences.join(' ');
}

function soundWords(around: Surroundings): string {
  const { input, people, trail } = around;
  const who = people.isPinned
    ? 'by people the department certified'
    : 'by people certified with the department key named here. Compare its fingerprint with the one on the certificate page, since a forger could have replaced both';
  return input.scope === 'notebook'
    ? `Everything in this notebook is as it was written, and every signed version is as it was signed ${who}. What may have been cut off after event ${trail.last} can only be seen by comparing with a receipt, a bound PDF or another notebook.`
    : `Every version in this file is as it was signed ${who}.`;
}

/** The latest good signature that fixes a part of the trail before the first fault. */
function lastAnchor(around: Surroundings, signatures: readonly KnownSignature[]): KnownSignature | null {
  const { trail, input } = around;
  const anchors = signatures.filter(
    ({ payload, isGood }) =>
      isGood &&
      payload.notebook === input.notebook &&
      payload.eventSeq > 0 &&
      trail.firstBroken !== null &&
      payload.eventSeq < trail.firstBroken,
  );
  anchors.sort((a, b) => b.payload.eventSeq - a.payload.eventSeq);
  return anchors[0] ?? null;
}
