import type { Sha256Hex } from './objects.ts';

/**
 * What the record needs from cryptography. Core brings none of its own: the caller passes these two,
 * `electron/keys/crypto.ts` in the program.
 */
export interface RecordCrypto {
  /** SHA-256 (FIPS 180-4) as 64 lower-case hex characters. */
  readonly sha256: (bytes: Uint8Array) => Sha256Hex;
  /** The same over the UTF-8 bytes of a text, where that can be had without making them first. */
  readonly sha256Text?: (text: string) => Sha256Hex;
  /**
   * Ed25519 (RFC 8032 §5.1.7). Never throws: a malformed key, a key of small order or a signature of
   * the wrong length is simply not valid.
   *
   * @param publicKey raw key, 64 hex characters
   * @param signature 128 hex characters
   */
  readonly verifyEd25519: (publicKey: string, bytes: Uint8Array, signature: string) => boolean;
}

/**
 * One name per kind of object, in front of its bytes before hashing and signing, so that the bytes
 * of one kind never pass as another. The number is the version of the format.
 */
export const domains = {
  version: 'fairleaf/version/1',
  signature: 'fairleaf/signature/1',
  event: 'fairleaf/event/1',
  certificate: 'fairleaf/certificate/1',
  revocation: 'fairleaf/revocation/1',
  checkpoint: 'fairleaf/checkpoint/1',
  own_compound: 'fairleaf/own-compound/1',
  seal: 'fairleaf/seal/1',
  row: 'fairleaf/row/1',
  key: 'fairleaf/key/1',
} as const;
export type Domain = keyof typeof domains;

/** The object kinds that are stored as canonical bytes with their hash. */
export type SealedKind =
  'version' | 'signature' | 'event' | 'certificate' | 'revocation' | 'checkpoint' | 'seal' | 'own_compound';

const encoder = new TextEncoder();

/** `domain ‖ 0x00 ‖ UTF-8(text)`: what is hashed, and what Ed25519 signs (not a hash of a hash). */
export const domainBytes = (domain: Domain, text: string): Uint8Array =>
  encoder.encode(`${domains[domain]}\0${text}`);

/** SHA-256 over the domain-separated bytes. */
export const domainHash = (
  crypto: Pick<RecordCrypto, 'sha256' | 'sha256Text'>,
  domain: Domain,
  text: string,
): Sha256Hex =>
  crypto.sha256Text?.(`${domains[domain]}\0${text}`) ?? crypto.sha256(domainBytes(domain, text));

/** What stands before the first event of a notebook. */
export const zeroHash: Sha256Hex = '0'.repeat(64);
