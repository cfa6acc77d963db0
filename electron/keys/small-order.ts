/**
 * Encodings of the points of edwards25519 whose order divides 8, canonical and not. A key among them
 * makes signatures that fit more than one message. Bytes as RFC 8032 §5.1.2 writes them, hex; y is
 * compared with the sign bit masked off. tests/electron/keys derives the same list from the curve.
 */
const smallOrderY = new Set([
  // y = 0 (order 4)
  '0000000000000000000000000000000000000000000000000000000000000000',
  // y = 1 (the identity)
  '0100000000000000000000000000000000000000000000000000000000000000',
  // order 8
  '26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05',
  'c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a',
  // y = −1 = p − 1 (order 2)
  'ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  // not canonical: p and p + 1 stand for 0 and 1
  'edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  'eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
]);

/** @param hex raw Ed25519 public key, 64 lower-case hex characters */
export function isSmallOrder(hex: string): boolean {
  const last = Number.parseInt(hex.slice(62), 16) & 0x7f;
  return smallOrderY.has(hex.slice(0, 62) + last.toString(16).padStart(2, '0'));
}
