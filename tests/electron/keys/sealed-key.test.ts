import { describe, expect, it } from 'vitest';
import { canonical } from '../../../core/record/canonical.ts';
import { verifyEd25519 } from '../../../electron/keys/crypto.ts';
import {
  changePassphrase,
  cheapScryptCost,
  createKey,
  readSealedKey,
  scryptCost,
  sealedKeyText,
  unlockKey,
  type SealedKey,
} from '../../../electron/keys/sealed-key.ts';

const owner = { person: 'ada', keyId: 'key-1' };
const passphrase = 'three quiet beakers';
const message = new TextEncoder().encode('message');
const codeOf = (result: { ok: boolean; error?: { code: string } }): string | undefined => result.error?.code;

describe('a sealed key', () => {
  it('is opened by its passphrase, signs, and gives nothing away otherwise', async () => {
    const { sealed, key } = await createKey(owner, passphrase, cheapScryptCost);
    const opened = await unlockKey(sealed, passphrase);
    expect(opened.ok).toBe(true);
    if (!opened.ok) return;
    const signature = opened.value.sign(message);
    expect(verifyEd25519(sealed.publicKey, message, signature)).toBe(true);
    expect(key.sign(message)).toBe(signature);
    expect(codeOf(await unlockKey(sealed, 'three quiet beaker'))).toBe('wrong-passphrase');
    expect(codeOf(await unlockKey(sealed, ''))).toBe('wrong-passphrase');
  });

  it('opens whichever way the keyboard composes an accent', async () => {
    const { sealed } = await createKey(owner, 'caf\u00e9 cr\u00e8me 12', cheapScryptCost);
    expect((await unlockKey(sealed, 'cafe\u0301 cre\u0300me 12')).ok).toBe(true);
  });

  it('is made with the cost OWASP names as the least for scrypt unless a test asks for less', async () => {
    expect(scryptCost).toEqual({ N: 131_072, r: 8, p: 1 });
    const started = performance.now();
    const { sealed } = await createKey(owner, passphrase);
    expect(sealed.kdf).toMatchObject({ name: 'scrypt', N: 131_072, r: 8, p: 1 });
    expect(performance.now() - started).toBeGreaterThan(50);
    expect((await unlockKey(sealed, passphrase)).ok).toBe(true);
  });

  it('is never twice the same, not even for one passphrase', async () => {
    const one = await createKey(owner, passphrase, cheapScryptCost);
    const two = await createKey(owner, passphrase, cheapScryptCost);
    expect(one.sealed.publicKey).not.toBe(two.sealed.publicKey);
    expect(one.sealed.kdf.salt).not.toBe(two.sealed.kdf.salt);
    expect(one.sealed.cipher.nonce).not.toBe(two.sealed.cipher.nonce);
  });

  it('keeps its key when the passphrase changes', async () => {
    const { sealed } = await createKey(owner, passphrase, cheapScryptCost);
    const changed = await changePassphrase(sealed, passphrase, 'four louder flasks', cheapScryptCost);
    expect(changed.ok).toBe(true);
    if (!changed.ok) return;
    expect(changed.value.publicKey).toBe(sealed.publicKey);
    expect(changed.value.kdf.salt).not.toBe(sealed.kdf.salt);
    expect((await unlockKey(changed.value, 'four louder flasks')).ok).toBe(true);
    expect(codeOf(await unlockKey(changed.value, passphrase))).toBe('wrong-passphrase');
    expect(codeOf(await changePassphrase(sealed, 'wrong', 'x', cheapScryptCost))).toBe('wrong-passphrase');
  });

  it('cannot be passed off as another person’s, another key, or made cheaper', async () => {
    const { sealed } = await createKey(owner, passphrase, cheapScryptCost);
    const other = await createKey({ person: 'ben', keyId: 'key-2' }, passphrase, cheapScryptCost);
    const tampered: readonly SealedKey[] = [
      { ...sealed, person: 'ben' },
      { ...sealed, keyId: 'key-2' },
      { ...sealed, publicKey: other.sealed.publicKey },
      { ...sealed, kdf: { ...sealed.kdf, N: 2 ** 11 } },
      { ...sealed, kdf: { ...sealed.kdf, salt: other.sealed.kdf.salt } },
      { ...sealed, cipher: { ...sealed.cipher, nonce: other.sealed.cipher.nonce } },
      { ...sealed, cipher: { ...sealed.cipher, tag: other.sealed.cipher.tag } },
      { ...sealed, sealed: other.sealed.sealed },
    ];
    for (const blob of tampered) expect(codeOf(await unlockKey(blob, passphrase))).toBe('wrong-passphrase');
  });
});

describe('readSealedKey', () => {
  it('reads what was written', async () => {
    const { sealed } = await createKey(owner, passphrase, cheapScryptCost);
    expect(readSealedKey(sealedKeyText(sealed))).toEqual({ ok: true, value: sealed });
  });

  it('caps what a hostile file may ask for', async () => {
    const { sealed } = await createKey(owner, passphrase, cheapScryptCost);
    const asking = (kdf: object): string => canonical({ ...sealed, kdf: { ...sealed.kdf, ...kdf } });
    for (const kdf of [
      { N: 2 ** 30 },
      { r: 1024 },
      { p: 1000 },
      { N: 2 ** 20, r: 16 },
      { N: 1000 },
      { N: 0 },
      { N: 1.5 },
      { N: -2 },
    ]) {
      const read = readSealedKey(asking(kdf));
      expect(codeOf(read)).toBe('sealed-key-too-costly');
    }
    const direct = await unlockKey({ ...sealed, kdf: { ...sealed.kdf, N: 2 ** 30 } }, passphrase);
    expect(codeOf(direct)).toBe('sealed-key-too-costly');
  });

  it.each([
    ['nothing', ''],
    ['something else', '{}'],
    ['null', 'null'],
    ['a list', '[]'],
    ['half a key', '{"format":1,"type":"sealed-key"}'],
    ['a megabyte', `"${'x'.repeat(1_000_000)}"`],
  ])('refuses %s', (_, text) => {
    expect(readSealedKey(text).ok).toBe(false);
  });
});
