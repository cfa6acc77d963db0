import {
  createCipheriv,
  createDecipheriv,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  randomBytes,
  scrypt,
  sign,
  type KeyObject,
} from 'node:crypto';
import { canonical, readCanonical } from '../../core/record/canonical.ts';
import { normalPassphrase } from '../../core/record/passphrase.ts';
import { fail, ok, type Problem, type Result } from '../../core/result.ts';
import { publicKeyToHex } from './crypto.ts';

/** scrypt (RFC 7914) parameters: N cost, r block size, p parallelisation. */
export interface ScryptCost {
  readonly N: number;
  readonly r: number;
  readonly p: number;
}

/** N = 2¹⁷, r = 8, p = 1: OWASP's published minimum for scrypt; 128 MiB, about 0.6 s. */
export const scryptCost: ScryptCost = { N: 2 ** 17, r: 8, p: 1 };
/** For tests only: protects nothing. */
export const cheapScryptCost: ScryptCost = { N: 2 ** 10, r: 8, p: 1 };
/** A key file from outside cannot ask for more than this. */
const costCap = { N: 2 ** 20, r: 16, p: 4, memoryBytes: 2 ** 28 } as const;

/** A private key at rest: PKCS#8 under AES-256-GCM under scrypt. Stored as canonical JSON. */
export interface SealedKey {
  readonly type: 'sealed-key';
  readonly format: 1;
  /** Person id, or `department`. */
  readonly person: string;
  readonly keyId: string;
  /** Raw Ed25519 public key, hex; of a PDF seal the SHA-256 of its certificate. */
  readonly publicKey: string;
  readonly kdf: { readonly name: 'scrypt' } & ScryptCost & { readonly salt: string };
  readonly cipher: { readonly name: 'aes-256-gcm'; readonly nonce: string; readonly tag: string };
  /** Hex. */
  readonly sealed: string;
}

/** A key whose passphrase has just been given. Keep it for the one signature it was unlocked for. */
export interface UnlockedKey {
  readonly person: string;
  readonly publicKey: string;
  /** Ed25519 over the bytes, 128 hex characters. */
  readonly sign: (bytes: Uint8Array) => string;
}

const keyBytes = (passphrase: string, salt: Uint8Array, cost: ScryptCost): Promise<Buffer> =>
  new Promise((resolve, reject) => {
    // Node refuses N = 2¹⁷ under its default of 32 MiB.
    const maxmem = 128 * cost.N * cost.r + 128 * cost.r * cost.p + 2 ** 20;
    const text = Buffer.from(normalPassphrase(passphrase), 'utf8');
    scrypt(text, salt, 32, { ...cost, maxmem }, (error, key) => {
      if (error === null) resolve(key);
      else reject(error);
    });
  });

/** What the seal is bound to: moving it to another person, key or cost breaks it. */
const boundTo = (key: Pick<SealedKey, 'person' | 'keyId' | 'publicKey' | 'kdf'>): Buffer =>
  Buffer.from(
    canonical({
      domain: 'fairleaf/sealed-key/1',
      person: key.person,
      keyId: key.keyId,
      publicKey: key.publicKey,
      kdf: key.kdf,
    }),
    'utf8',
  );

/**
 * Seals a private key of any kind under a passphrase.
 *
 * @param pkcs8 PKCS #8, DER
 * @param owner `publicKey` names what the key belongs to, 64 hex characters: the raw Ed25519 key, or the
 *   SHA-256 of the certificate of a PDF seal
 */
export async function sealPrivateKey(
  pkcs8: Uint8Array,
  owner: { readonly person: string; readonly keyId: string; readonly publicKey: string },
  passphrase: string,
  cost: ScryptCost,
): Promise<SealedKey> {
  const salt = randomBytes(16);
  const nonce = randomBytes(12);
  const kdf = { name: 'scrypt' as const, N: cost.N, r: cost.r, p: cost.p, salt: salt.toString('hex') };
  const cipher = createCipheriv('aes-256-gcm', await keyBytes(passphrase, salt, cost), nonce);
  cipher.setAAD(boundTo({ ...owner, kdf }));
  const sealed = Buffer.concat([cipher.update(pkcs8), cipher.final()]);
  return {
    type: 'sealed-key',
    format: 1,
    person: owner.person,
    keyId: owner.keyId,
    publicKey: owner.publicKey,
    kdf,
    cipher: { name: 'aes-256-gcm', nonce: nonce.toString('hex'), tag: cipher.getAuthTag().toString('hex') },
    sealed: sealed.toString('hex'),
  };
}

function unlocked(person: string, privateKey: KeyObject): UnlockedKey {
  return {
    person,
    publicKey: publicKeyToHex(createPublicKey(privateKey)),
    sign: (bytes) => sign(null, bytes, privateKey).toString('hex'),
  };
}

/**
 * A new Ed25519 key for a person, sealed under their passphrase, and unlocked for its first use.
 *
 * @param passphrase already held against `passphraseProblem`
 * @param cost leave out; tests pass `cheapScryptCost`
 */
export async function createKey(
  owner: { readonly person: string; readonly keyId: string },
  passphrase: string,
  cost: ScryptCost = scryptCost,
): Promise<{ readonly sealed: SealedKey; readonly key: UnlockedKey }> {
  const { privateKey } = generateKeyPairSync('ed25519');
  const key = unlocked(owner.person, privateKey);
  const pkcs8 = privateKey.export({ format: 'der', type: 'pkcs8' });
  return {
    sealed: await sealPrivateKey(pkcs8, { ...owner, publicKey: key.publicKey }, passphrase, cost),
    key,
  };
}

/**
 * The PKCS #8 bytes of a sealed key; whoever asks wipes them after use.
 *
 * @error as `unlockKey`
 */
export async function openPrivateKey(
  sealed: SealedKey,
  passphrase: string,
): Promise<Result<Buffer, Problem>> {
  const problem = checkSealedKey(sealed);
  if (problem !== null) return fail(problem);
  const salt = Buffer.from(sealed.kdf.salt, 'hex');
  const key = await keyBytes(passphrase, salt, sealed.kdf);
  try {
    const cipher = createDecipheriv('aes-256-gcm', key, Buffer.from(sealed.cipher.nonce, 'hex'), {
      authTagLength: 16,
    });
    cipher.setAAD(boundTo(sealed));
    cipher.setAuthTag(Buffer.from(sealed.cipher.tag, 'hex'));
    return ok(Buffer.concat([cipher.update(Buffer.from(sealed.sealed, 'hex')), cipher.final()]));
  } catch {
    // GCM cannot tell a wrong passphrase from a changed blob; `check` tells them apart.
    return fail({ code: 'wrong-passphrase', where: 'passphrase', facts: {} });
  }
}

/**
 * Unlocks a key with its passphrase. Takes about 0.6 s, off the main thread.
 *
 * @error wrong-passphrase; sealed-key-unreadable, sealed-key-too-costly for a damaged or hostile blob
 */
export async function unlockKey(
  sealed: SealedKey,
  passphrase: string,
): Promise<Result<UnlockedKey, Problem>> {
  const opened = await openPrivateKey(sealed, passphrase);
  if (!opened.ok) return opened;
  const key = unlocked(sealed.person, createPrivateKey({ key: opened.value, format: 'der', type: 'pkcs8' }));
  opened.value.fill(0);
  return key.publicKey === sealed.publicKey
    ? ok(key)
    : fail({ code: 'sealed-key-unreadable', where: 'publicKey', facts: {} });
}

/**
 * Seals the same key under another passphrase. There is no recovery of a forgotten one: the
 * department certifies a new key instead.
 *
 * @error as `unlockKey`
 */
export async function changePassphrase(
  sealed: SealedKey,
  oldPassphrase: string,
  newPassphrase: string,
  cost: ScryptCost = scryptCost,
): Promise<Result<SealedKey, Problem>> {
  const opened = await openPrivateKey(sealed, oldPassphrase);
  if (!opened.ok) return opened;
  const resealed = await sealPrivateKey(opened.value, sealed, newPassphrase, cost);
  opened.value.fill(0);
  return ok(resealed);
}

/** The text to store. */
export const sealedKeyText = (sealed: SealedKey): string => canonical(sealed);

const isHex = (value: unknown, length: number | null): boolean =>
  typeof value === 'string' &&
  /^([0-9a-f]{2})+$/.test(value) &&
  (length === null ? value.length <= 512 : value.length === length);
const isCount = (value: unknown, cap: number): boolean =>
  typeof value === 'number' && Number.isInteger(value) && value >= 1 && value <= cap;

function checkSealedKey(sealed: SealedKey): Problem | null {
  const { kdf, cipher } = sealed;
  const unreadable = (where: string): Problem => ({ code: 'sealed-key-unreadable', where, facts: {} });
  if (!isHex(sealed.publicKey, 64)) return unreadable('publicKey');
  if (!isHex(sealed.sealed, null)) return unreadable('sealed');
  if (!isHex(kdf.salt, 32)) return unreadable('kdf.salt');
  if (!isHex(cipher.nonce, 24)) return unreadable('cipher.nonce');
  if (!isHex(cipher.tag, 32)) return unreadable('cipher.tag');
  const isPowerOfTwo = isCount(kdf.N, costCap.N) && kdf.N > 1 && Number.isInteger(Math.log2(kdf.N));
  const isCapped = isPowerOfTwo && isCount(kdf.r, costCap.r) && isCount(kdf.p, costCap.p);
  if (!isCapped || 128 * kdf.N * kdf.r > costCap.memoryBytes) {
    return { code: 'sealed-key-too-costly', where: 'kdf', facts: {} };
  }
  return null;
}

/**
 * Reads a stored sealed key; caps what it may cost to open.
 *
 * @error sealed-key-unreadable, sealed-key-too-costly, and those of `readCanonical`
 */
export function readSealedKey(text: string): Result<SealedKey, Problem> {
  const read = readCanonical(text, { maxLength: 4096 });
  if (!read.ok) return read;
  const key = read.value as SealedKey;
  const isKey =
    typeof key === 'object' &&
    key !== null &&
    key.type === 'sealed-key' &&
    key.format === 1 &&
    typeof key.person === 'string' &&
    typeof key.keyId === 'string' &&
    key.kdf?.name === 'scrypt' &&
    key.cipher?.name === 'aes-256-gcm';
  if (!isKey) return fail({ code: 'sealed-key-unreadable', where: '', facts: {} });
  const problem = checkSealedKey(key);
  return problem === null ? ok(key) : fail(problem);
}
