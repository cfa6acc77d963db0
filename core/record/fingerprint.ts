import { domainHash, type RecordCrypto } from './domain.ts';
import type { Sha256Hex } from './objects.ts';

/**
 * The short form of a hash for print and for reading aloud: its first 80 bits in five groups of four,
 * `3F9A 02C1 77BE D410 5C2E`. Finding other content with the same 80 bits takes about 2⁸⁰ tries;
 * the full hash is in the file, and is what `check` compares.
 */
export const fingerprint = (hash: Sha256Hex): string =>
  (hash.slice(0, 20).toUpperCase().match(/.{4}/g) ?? []).join(' ');

/** Fingerprint of a public key (raw hex): what is printed on the certificate page and pinned. */
export const keyFingerprint = (crypto: Pick<RecordCrypto, 'sha256'>, publicKey: string): string =>
  fingerprint(domainHash(crypto, 'key', publicKey));

/** True when a fingerprint typed or scanned by a person (spaces, case, hyphens free) is that of `hash`. */
export const isFingerprintOf = (typed: string, hash: Sha256Hex): boolean => {
  const plain = typed.replace(/[\s:-]/g, '').toLowerCase();
  return plain.length >= 20 && /^[0-9a-f]+$/.test(plain) && hash.startsWith(plain.slice(0, 64));
};
