import { createHash, createPrivateKey, createPublicKey, sign } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import {
  publicKeyFromHex,
  publicKeyToHex,
  recordCrypto,
  sha256,
  verifyEd25519,
} from '../../../electron/keys/crypto.ts';
import { isSmallOrder } from '../../../electron/keys/small-order.ts';
import { domainBytes, domainHash, domains } from '../../../core/record/domain.ts';

const privateKey = (seed: string) =>
  createPrivateKey({
    key: Buffer.from(`302e020100300506032b657004220420${seed}`, 'hex'),
    format: 'der',
    type: 'pkcs8',
  });

// RFC 8032 §7.1, tests 1 to 3.
const vectors = [
  {
    seed: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    key: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    seed: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    key: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: '72',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    seed: 'c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7',
    key: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    message: 'af82',
    signature:
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
] as const;
const order = 2n ** 252n + 27742317777372353535851937790883648493n;

describe('verifyEd25519', () => {
  it.each(vectors)('accepts the published signature of “$message” (RFC 8032 §7.1)', (vector) => {
    const key = privateKey(vector.seed);
    const message = Buffer.from(vector.message, 'hex');
    expect(publicKeyToHex(createPublicKey(key))).toBe(vector.key);
    expect(sign(null, message, key).toString('hex')).toBe(vector.signature);
    expect(verifyEd25519(vector.key, message, vector.signature)).toBe(true);
  });

  it('refuses the published signature with any bit of it, of the key or of the message changed', () => {
    const { key, message, signature } = vectors[2];
    const flipped = (hex: string, bit: number): string => {
      const bytes = Buffer.from(hex, 'hex');
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      return bytes.toString('hex');
    };
    const bytes = Buffer.from(message, 'hex');
    for (let bit = 0; bit < 512; bit += 1) {
      expect(verifyEd25519(key, bytes, flipped(signature, bit))).toBe(false);
    }
    for (let bit = 0; bit < 256; bit += 1) {
      expect(verifyEd25519(flipped(key, bit), bytes, signature)).toBe(false);
    }
    for (let bit = 0; bit < 16; bit += 1) {
      expect(verifyEd25519(key, Buffer.from(flipped(message, bit), 'hex'), signature)).toBe(false);
    }
  });

  it('refuses the second form of a signature, S + L (RFC 8032 §5.1.7 asks S < L)', () => {
    for (const { key, message, signature } of vectors) {
      const s = BigInt(`0x${Buffer.from(signature.slice(64), 'hex').reverse().toString('hex')}`) + order;
      const malleated =
        signature.slice(0, 64) +
        Buffer.from(s.toString(16).padStart(64, '0'), 'hex').reverse().toString('hex');
      expect(verifyEd25519(key, Buffer.from(message, 'hex'), malleated)).toBe(false);
    }
  });

  it.each([
    ['nothing', '', ''],
    ['a short key', 'd75a', vectors[0].signature],
    ['upper case', vectors[0].key.toUpperCase(), vectors[0].signature],
    ['a short signature', vectors[0].key, vectors[0].signature.slice(2)],
    ['no hex', 'z'.repeat(64), vectors[0].signature],
  ])('refuses %s without throwing', (_, key, signature) => {
    expect(verifyEd25519(key, new Uint8Array(), signature)).toBe(false);
  });
});

describe('isSmallOrder', () => {
  // The curve of RFC 8032 §5.1, in a few lines of its own, to find the points of small order afresh.
  const p = 2n ** 255n - 19n;
  const mod = (x: bigint): bigint => ((x % p) + p) % p;
  const power = (base: bigint, exponent: bigint): bigint => {
    let result = 1n;
    let square = mod(base);
    for (let e = exponent; e > 0n; e >>= 1n) {
      if ((e & 1n) === 1n) result = mod(result * square);
      square = mod(square * square);
    }
    return result;
  };
  const inverse = (x: bigint): bigint => power(x, p - 2n);
  const d = mod(-121665n * inverse(121666n));
  type Point = readonly [bigint, bigint];
  const add = ([x1, y1]: Point, [x2, y2]: Point): Point => {
    const k = mod(d * x1 * x2 * y1 * y2);
    return [mod((x1 * y2 + x2 * y1) * inverse(1n + k)), mod((y1 * y2 + x1 * x2) * inverse(1n - k))];
  };
  const times = (n: bigint, point: Point): Point => {
    let result: Point = [0n, 1n];
    let twice = point;
    for (let e = n; e > 0n; e >>= 1n) {
      if ((e & 1n) === 1n) result = add(result, twice);
      twice = add(twice, twice);
    }
    return result;
  };
  const recoverX = (y: bigint): bigint | null => {
    const u = mod(y * y - 1n);
    const v = mod(d * y * y + 1n);
    let x = mod(u * v ** 3n * power(u * v ** 7n, (p - 5n) / 8n));
    if (mod(v * x * x) === mod(-u)) x = mod(x * power(2n, (p - 1n) / 4n));
    return mod(v * x * x) === u ? x : null;
  };
  const encode = (y: bigint): string =>
    Buffer.from(y.toString(16).padStart(64, '0'), 'hex').reverse().toString('hex');

  it('knows every point whose order divides 8, in every encoding', () => {
    const ys = new Set<bigint>();
    // L times any point has an order that divides 8; a few hundred points reach all of them.
    for (let y = 2n; ys.size < 5 && y < 400n; y += 1n) {
      const x = recoverX(y);
      if (x === null) continue;
      for (let k = 0n; k < 8n; k += 1n) ys.add(times(k, times(order, [x, y]))[1]);
    }
    expect(ys.size).toBe(5);
    for (const y of ys) {
      for (const form of [y, y + p].filter((value) => value < 2n ** 255n)) {
        expect(isSmallOrder(encode(form))).toBe(true);
        expect(isSmallOrder(encode(form + 2n ** 255n))).toBe(true);
        expect(publicKeyFromHex(encode(form))).toBeNull();
      }
    }
  });

  it('takes ordinary keys', () => {
    for (const { key } of vectors) {
      expect(isSmallOrder(key)).toBe(false);
      expect(publicKeyToHex(publicKeyFromHex(key)!)).toBe(key);
    }
  });

  it('refuses the signature that fits any message under the identity', () => {
    // R = identity, S = 0 satisfies S·B = R + k·A when A is the identity, whatever the message.
    const identity = `01${'00'.repeat(31)}`;
    const universal = identity + '00'.repeat(32);
    expect(verifyEd25519(identity, Buffer.from('any message'), universal)).toBe(false);
  });
});

describe('sha256', () => {
  // FIPS 180-4 examples published by NIST (one block, two blocks, one million letters), and the empty text.
  it.each([
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ])('of %.20s…', (text, hash) => {
    expect(sha256(new TextEncoder().encode(text))).toBe(hash);
  });
});

describe('domainHash', () => {
  it.each(['', 'plain', 'é 🧪 \u0000', 'a lone \ud800 half', 'x'.repeat(100_000)])(
    'hashes the same bytes with and without making them first: %.20s',
    (text) => {
      expect(domainHash(recordCrypto, 'event', text)).toBe(sha256(domainBytes('event', text)));
    },
  );
});

describe('domainBytes', () => {
  it('puts the name of the kind and a zero byte in front', () => {
    const bytes = Buffer.from(domainBytes('version', '{"a":"é"}'));
    expect(bytes).toEqual(Buffer.from('fairleaf/version/1\0{"a":"é"}', 'utf8'));
    expect(sha256(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'));
  });

  it('has no kind whose name is the beginning of another', () => {
    const names = Object.values(domains);
    for (const a of names)
      for (const b of names) if (a !== b) expect(`${b}\0`.startsWith(`${a}\0`)).toBe(false);
  });
});
