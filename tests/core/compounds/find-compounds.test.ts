import { describe, expect, it } from 'vitest';
import { compounds, findCompounds } from '../../../core/compounds/index.ts';
import { editDistance, plainName } from '../../../core/compounds/spelling.ts';

const first = (query: string): string | undefined => findCompounds(query, 5)[0]?.id;
const ids = (query: string, limit = 10): string[] => findCompounds(query, limit).map(({ id }) => id);

describe('findCompounds', () => {
  it('finds every compound by its own name, synonyms and registry number', () => {
    for (const { id, name, synonyms, registryNumber } of compounds) {
      expect(first(name), name).toBe(id);
      for (const synonym of synonyms) expect(ids(synonym, 3), synonym).toContain(id);
      if (registryNumber !== null) expect(first(registryNumber), registryNumber).toBe(id);
    }
  });

  it.each([
    ['aspirin', 'acetylsalicylic-acid'],
    ['banana oil', 'isopentyl-acetate'],
    ['Mohr’s salt', 'ammonium-iron-ii-sulfate-hexahydrate'],
    ['THF', 'tetrahydrofuran'],
    ['DCM', 'dichloromethane'],
    ['p-aminobenzoic acid', '4-aminobenzoic-acid'],
    ['IPA', '2-propanol'],
  ])('knows %s', (query, id) => {
    expect(first(query)).toBe(id);
  });

  it.each([
    ['benzoic acd', 'benzoic-acid'],
    ['salycilic acid', 'salicylic-acid'],
    ['acetilsalicylic', 'acetylsalicylic-acid'],
    ['sulphuric acid', 'sulfuric-acid'],
    ['cylcohexanol', 'cyclohexanol'],
    ['benzocain', 'benzocaine'],
    ['Dichlormethane', 'dichloromethane'],
    ['napthalene', 'naphthalene'],
    ['methyl  benzoate', 'methyl-benzoate'],
    ['METHYL-BENZOATE', 'methyl-benzoate'],
    ['isoamyl acetat', 'isopentyl-acetate'],
    ['potasium permanganate', 'potassium-permanganate'],
    ['phenolphtalein', 'phenolphthalein'],
    ['3-methylbutanol', '3-methylbutan-1-ol'],
    ['β-naphthol', '2-naphthol'],
    ['tert butanol', '2-methyl-2-propanol'],
  ])('forgives %s', (query, id) => {
    expect(ids(query, 3)).toContain(id);
  });

  it.each(['acetanilid', 'actanilide', 'actenailide', 'acetnailide', 'acetanlide'])(
    'forgives %s',
    (query) => {
      expect(first(query)).toBe('acetanilide');
    },
  );

  it('finds every compound with two letters of its name in each other’s place', () => {
    const missed: string[] = [];
    let tried = 0;
    for (const [index, { id, name }] of compounds.entries()) {
      // Every third place of a name, from another one for the next: the whole takes long and says no more.
      for (let at = index % 3; name.length > 4 && at + 1 < name.length; at += 3) {
        const [one = '', other = ''] = name.slice(at, at + 2);
        if (!/^\p{L}{2}$/u.test(one + other) || one === other) continue;
        tried += 1;
        const query = name.slice(0, at) + other + one + name.slice(at + 2);
        if (!ids(query, 5).includes(id)) missed.push(query);
      }
    }
    expect(missed).toEqual([]);
    expect(tried).toBeGreaterThan(1000);
  }, 60_000);

  it('finds while a name is still being typed', () => {
    expect(ids('benzo')).toContain('benzoic-acid');
    expect(ids('acet')).toContain('acetone');
    expect(ids('adip')[0]).toBe('adipic-acid');
  });

  it('reads a formula in any order and spelling', () => {
    for (const query of ['C7H6O2', 'H6C7O2', 'C6H5COOH', 'C₇H₆O₂', 'O2C7H6']) {
      expect(ids(query, 5), query).toContain('benzoic-acid');
    }
    expect(first('H2SO4')).toBe('sulfuric-acid');
    expect(first('K3[Fe(C2O4)3]·3H2O')).toBe('potassium-trisoxalatoferrate-iii-trihydrate');
    expect(ids('C8H8O2')).toEqual(expect.arrayContaining(['methyl-benzoate', 'phenylacetic-acid']));
  });

  it('offers the hydrates of a salt after the anhydrous one', () => {
    expect(ids('CuSO4').slice(0, 2)).toEqual(['copper-ii-sulfate', 'copper-ii-sulfate-pentahydrate']);
    expect(ids('CuSO4.5H2O')[0]).toBe('copper-ii-sulfate-pentahydrate');
    expect(ids('FeC2O4')).toContain('iron-ii-oxalate-dihydrate');
  });

  it('takes the beginning of a registry number', () => {
    expect(ids('65-85')).toEqual(['benzoic-acid']);
    expect(ids('7664').length).toBeGreaterThan(2);
  });

  it('answers nothing to nothing, and little to nonsense', () => {
    expect(findCompounds('', 10)).toEqual([]);
    expect(findCompounds('   ', 10)).toEqual([]);
    expect(findCompounds('benzoic acid', 0)).toEqual([]);
    expect(findCompounds('benzoic acid', Number.NaN)).toEqual([]);
    expect(findCompounds('qqqqxxxx', 10)).toEqual([]);
    expect(findCompounds('😀', 10)).toEqual([]);
    expect(findCompounds('حمض', 10)).toEqual([]);
    expect(Array.isArray(findCompounds('x'.repeat(100_000), 10))).toBe(true);
  });

  it('keeps to the limit and never names a compound twice', () => {
    for (const query of ['acid', 'a', 'sodium', 'C6', '10']) {
      const found = ids(query, 7);
      expect(found.length).toBeLessThanOrEqual(7);
      expect(new Set(found).size).toBe(found.length);
    }
  });

  it('answers within a keystroke', () => {
    findCompounds('warm', 5);
    const queries = [
      'benzoic acd',
      'sulphuric',
      'C7H6O2',
      '65-85-0',
      'potasium',
      'acid',
      'methyl 3-nitrobenzoate',
    ];
    const begun = performance.now();
    for (let round = 0; round < 20; round += 1) for (const query of queries) findCompounds(query, 10);
    const each = (performance.now() - begun) / (20 * queries.length);
    // A frame is 16 ms; generous, since the machine of the tests is shared.
    expect(each).toBeLessThan(16);
  });
});

describe('editDistance', () => {
  // Textbook pairs (from memory): kitten/sitting 3; a swap of neighbours counts once.
  it.each([
    ['kitten', 'sitting', 3],
    ['acid', 'acdi', 1],
    ['', 'abc', 3],
    ['same', 'same', 0],
  ])('%s to %s is %d', (a, b, distance) => {
    expect(editDistance(a, b, 10)).toBe(distance);
    expect(editDistance(b, a, 10)).toBe(distance);
  });

  it('gives up beyond the bound', () => {
    expect(editDistance('kitten', 'sitting', 2)).toBe(3);
    expect(editDistance('short', 'a much longer text', 4)).toBe(5);
  });
});

describe('plainName', () => {
  it('makes spellings alike', () => {
    expect(plainName('β-Naphthol')).toBe('beta naphthol');
    expect(plainName('Sulphuric  acid')).toBe('sulfuric acid');
    expect(plainName("Mohr's salt")).toBe(plainName('Mohr’s salt'));
    expect(plainName('(E)-1,2-Diphénylethene')).toBe('e 1 2 diphenylethene');
  });
});
