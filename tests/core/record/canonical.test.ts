import canonicalize from 'canonicalize';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonical, canonicalise, maxDepth, readCanonical } from '../../../core/record/canonical.ts';

const numberFromHex = (hex: string): number => {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${hex}`));
  return view.getFloat64(0);
};

describe('canonical', () => {
  // RFC 8785 Appendix B, ECMAScript number serialisation samples (IEEE 754 bits, text).
  it.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('writes the number %s as %s (RFC 8785, Appendix B)', (hex, text) => {
    expect(canonical(numberFromHex(hex))).toBe(text);
  });

  // The published test data of the author of RFC 8785 (cyberphone/json-canonicalization, testdata/).
  it.each([
    [
      'arrays',
      '[\n 56,\n {\n "d": true,\n "10": null,\n "1": [ ]\n }\n]',
      '[56,{"1":[],"10":null,"d":true}]',
    ],
    [
      'french',
      '{"peach": "This sorting order","péché": "is wrong according to French","pêche": "but canonicalization MUST","sin": "ingnore locale"}',
      '{"peach":"This sorting order","péché":"is wrong according to French","pêche":"but canonicalization MUST","sin":"ingnore locale"}',
    ],
    [
      'structures',
      '{"1": {"f": {"f": "hi","F": 5} ,"\\n": 56.0},"10": { },"": "empty","a": { },"111": [ { } ],"A": { }}',
      '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}',
    ],
    ['unicode', '{"Unnormalized Unicode":"d\\u0323\\u0307"}', '{"Unnormalized Unicode":"d\u0323\u0307"}'],
    [
      'values',
      '{"numbers": [1E30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001],"escaping": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/","literals": [null, true, false]}',
      '{"escaping":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/","literals":[null,true,false],"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}',
    ],
    [
      'weird',
      '{"\\u20ac": "Euro Sign","1": "One","\\u0080": "Control\\u007f","\\ud83d\\ude02": "Smiley","\\u00f6": "Latin Small Letter O With Diaeresis","\\ufb33": "Hebrew Letter Dalet With Dagesh","</script>": "Browser Challenge"}',
      '{"1":"One","</script>":"Browser Challenge","\u0080":"Control\u007f","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","\u{1F602}":"Smiley","\uFB33":"Hebrew Letter Dalet With Dagesh"}',
    ],
  ])('agrees with the published test data: %s', (_, input, output) => {
    expect(canonical(JSON.parse(input))).toBe(output);
    expect(readCanonical(output).ok).toBe(true);
  });

  it('agrees with an independent implementation on any JSON value', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 6 }), (value) => {
        // -0 and `__proto__` are where the two differ on purpose or by the parser.
        const plain: unknown = JSON.parse(JSON.stringify(value));
        if (JSON.stringify(plain).includes('__proto__')) return;
        expect(canonical(plain)).toBe(canonicalize(plain));
      }),
      { numRuns: 500 },
    );
  });

  it('gives one text whatever order the members were made in', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.integer()), (members) => {
        fc.pre(!Object.hasOwn(members, '__proto__'));
        const reversed = Object.fromEntries(Object.entries(members).reverse());
        expect(canonical(reversed)).toBe(canonical(members));
      }),
    );
  });

  it.each([
    ['NaN', { a: NaN }, 'number-not-finite', 'a'],
    ['infinity', [1, Infinity], 'number-not-finite', '1'],
    ['a lone surrogate', { a: { b: 'x\ud800' } }, 'lone-surrogate', 'a.b'],
    ['a lone surrogate in a key', { '\udc00': 1 }, 'lone-surrogate', ''],
    ['undefined', { a: undefined }, 'not-plain-data', 'a'],
    ['a hole', [1, , 2], 'not-plain-data', '1'], // eslint-disable-line no-sparse-arrays
    ['a date', { a: new Date(0) }, 'not-plain-data', 'a'],
    ['a map', new Map([['a', 1]]), 'not-plain-data', ''],
    ['bytes', new Uint8Array(2), 'not-plain-data', ''],
    ['a big integer', 1n, 'not-plain-data', ''],
    ['a function', () => 1, 'not-plain-data', ''],
    ['__proto__ as data', JSON.parse('{"__proto__":1}'), 'forbidden-key', '__proto__'],
  ])('refuses %s and says where', (_, value, code, where) => {
    expect(canonicalise(value)).toEqual({ ok: false, error: { code, where, facts: {} } });
    expect(() => canonical(value)).toThrow(code);
  });
});

describe('readCanonical', () => {
  const codeOf = (text: string): string | undefined => {
    const read = readCanonical(text);
    return read.ok ? undefined : read.error.code;
  };

  it('gives back what canonical wrote, for any value', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 6 }), (value) => {
        const plain: unknown = JSON.parse(JSON.stringify(value));
        fc.pre(!JSON.stringify(plain).includes('__proto__'));
        const text = canonical(plain);
        const read = readCanonical(text);
        expect(read).toEqual({ ok: true, value: plain });
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    ['white space', '{"a": 1}', 'not-canonical'],
    ['keys out of order', '{"b":1,"a":2}', 'not-canonical'],
    ['a duplicate key', '{"a":1,"a":2}', 'not-canonical'],
    ['a duplicate key with equal values', '{"a":1,"a":1}', 'not-canonical'],
    ['a number written another way', '{"a":1.0}', 'not-canonical'],
    ['minus zero', '-0', 'not-canonical'],
    ['an escape that is not needed', '"\\u0041"', 'not-canonical'],
    ['an escaped slash', '"\\/"', 'not-canonical'],
    ['1e999', '1e999', 'number-not-finite'],
    ['an escaped lone surrogate', '"\\ud800"', 'lone-surrogate'],
    ['a byte order mark', '\ufeff{}', 'not-json'],
    ['nothing', '', 'not-json'],
    ['NaN', 'NaN', 'not-json'],
    ['integer-like keys in numeric order', '{"9":1,"10":2}', 'not-canonical'],
    ['__proto__', '{"__proto__":{"isAdmin":true}}', 'forbidden-key'],
  ])('refuses %s', (_, text, code) => {
    expect(codeOf(text)).toBe(code);
  });

  it('accepts integer-like keys in the order the RFC asks for', () => {
    expect(readCanonical('{"10":2,"9":1}').ok).toBe(true);
  });

  it('leaves the prototype of nothing changed', () => {
    readCanonical('{"__proto__":{"isAdmin":true},"constructor":{"prototype":{"isAdmin":true}}}');
    expect(({} as { isAdmin?: boolean }).isAdmin).toBeUndefined();
  });

  it.each([maxDepth + 2, 20_000, 200_000])('refuses %i levels without running out of stack', (levels) => {
    expect(codeOf('['.repeat(levels) + ']'.repeat(levels))).toBe('nested-too-deep');
  });

  it('refuses text beyond the limit before parsing it', () => {
    expect(readCanonical('x'.repeat(11), { maxLength: 10 })).toMatchObject({
      ok: false,
      error: { code: 'too-large' },
    });
  });
});
