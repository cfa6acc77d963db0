import { describe, expect, it } from 'vitest';
import { namePieces } from '../../renderer/components/name-pieces.ts';

const tied = (name: string): readonly string[] =>
  namePieces(name)
    .filter((piece) => piece.isTied)
    .map((piece) => piece.text);

describe('namePieces', () => {
  // Names and locants after the IUPAC recommendations of 2013 (P-14.3, locants; P-16, how names are written).
  it.each([
    ['ethyl 4-aminobenzoate', ['4-a']],
    ['2,4-dinitrophenylhydrazine', ['2,4-d']],
    ['N,N-dimethylaniline', ['N,N-d']],
    ['3-methylbutan-1-ol', ['3-m', '1-o']],
    ['2-hydroxy-2,2-diphenylethanoic acid', ['2-h', '2,2-d']],
    ['(R)-limonene', ['(R)-l']],
    ['L-alanine', ['L-a']],
    ['tert-butyl alcohol', ['tert-b']],
    ['4,4′-bipyridine', ['4,4′-b']],
    ['Benzocaine (ethyl 4-aminobenzoate)', ['4-a']],
    ['potassium tris(oxalato)ferrate(III) trihydrate', []],
    ['a well-kept record', []],
    ['', []],
  ] as const)('ties the locants of %s', (name, locants) => {
    expect(tied(name)).toEqual(locants);
    expect(
      namePieces(name)
        .map((piece) => piece.text)
        .join(''),
    ).toBe(name);
  });
});
