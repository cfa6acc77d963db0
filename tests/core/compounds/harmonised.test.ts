import { describe, expect, it } from 'vitest';
import { compoundById, withoutCovered } from '../../../core/compounds/index.ts';

/**
 * A second, independent reading of Annex VI, Table 3 of Regulation (EC) No 1272/2008: the table of the
 * European Chemicals Agency of May 2020 (13th adaptation), in an open extract other than the one the
 * library was filled from. Hazard statement codes of the classification, as listed.
 */
const thirteenth: readonly (readonly [id: string, statements: string])[] = [
  ['toluene', 'H225 H361d H304 H336 H373 H315'],
  ['o-xylene', 'H226 H332 H312 H315'],
  ['p-xylene', 'H226 H332 H312 H315'],
  ['m-xylene', 'H226 H332 H312 H315'],
  ['ethylbenzene', 'H225 H332 H304 H373'],
  ['mesitylene', 'H226 H335 H411'],
  ['styrene', 'H226 H361d H332 H372 H315 H319'],
  ['limonene', 'H226 H315 H317 H400 H410'],
  ['biphenyl', 'H335 H315 H319 H400 H410'],
  ['tetralin', 'H315 H319 H411'],
  ['naphthalene', 'H351 H302 H400 H410'],
  ['dichloromethane', 'H351'],
  ['iodomethane', 'H351 H331 H301 H312 H335 H315'],
  ['chloroform', 'H351 H361d H331 H302 H372 H315 H319'],
  ['chlorobenzene', 'H226 H332 H315 H411'],
  ['1-4-dichlorobenzene', 'H351 H319 H400 H410'],
  ['1-chlorobutane', 'H225'],
  ['bromobenzene', 'H226 H315 H411'],
  ['anthraquinone', 'H350'],
  ['acetic-acid', 'H226 H314'],
  ['chloroacetic-acid', 'H331 H311 H301 H314 H400'],
  ['trichloroacetic-acid', 'H314 H400 H410'],
  ['oxalic-acid-dihydrate', 'H312 H302'],
  ['acetic-anhydride', 'H226 H332 H302 H314'],
  ['phthalic-anhydride', 'H302 H335 H315 H318 H334 H317'],
  ['propanoic-anhydride', 'H314'],
  ['acetyl-chloride', 'H225 H314'],
  ['benzoyl-chloride', 'H332 H312 H302 H314 H317'],
  ['ethyl-formate', 'H225 H332 H302 H335 H319'],
  ['methyl-acetate', 'H225 H336 H319'],
  ['ethyl-acetate', 'H225 H336 H319'],
  ['propyl-acetate', 'H225 H336 H319'],
  ['butyl-acetate', 'H226 H336'],
  ['isobutyl-acetate', 'H225'],
  ['ethyl-propanoate', 'H225'],
  ['propanoic-acid', 'H314'],
  ['trifluoroacetic-acid', 'H332 H314 H412'],
  ['maleic-acid', 'H302 H335 H315 H319 H317'],
  ['maleic-anhydride', 'H302 H372 H314 H318 H334 H317'],
  ['sodium-hydride', 'H260'],
  ['boric-acid', 'H360FD'],
  ['sodium-tetraborate-decahydrate', 'H360FD'],
  ['ammonia-solution', 'H314 H400'],
];

/** Statements without those of suppliers, which the note names. */
const harmonised = (id: string): readonly string[] => {
  const { hazards } = compoundById(id) ?? {};
  if (hazards === undefined || hazards === null) throw new Error(id);
  const [, suppliers = ''] = /([A-Z0-9, and]*) (?:is|are) added by suppliers\./.exec(hazards.note) ?? [];
  return hazards.statements.filter((code) => !suppliers.includes(code) && !code.startsWith('EUH'));
};

describe('harmonised classifications', () => {
  it.each(thirteenth)('%s is classified as a second copy of the table has it', (id, statements) => {
    expect(compoundById(id)?.hazards?.source).toBe('clp-annex-vi');
    const listed = withoutCovered(statements.split(' '));
    // The ammonia label adds its concentration limit: H335 from 5 % on (Table 3, last column but one).
    const limit = id === 'ammonia-solution' ? ['H335'] : [];
    expect(harmonised(id).toSorted()).toEqual([...listed, ...limit].toSorted());
  });

  // Changed since: cumene by the 18th adaptation, formic acid by the 22nd, hexane by a late one. The copy of
  // the 13th has no H350 for cumene, H314 alone for formic acid, H373 in place of H372 for hexane.
  it.each([
    ['formic-acid', ['H226', 'H290', 'H302', 'H314', 'H331', 'EUH071']],
    ['hexane', ['H225', 'H304', 'H315', 'H336', 'H361f', 'H372', 'H411']],
    ['cumene', ['H226', 'H304', 'H335', 'H350', 'H411']],
  ])('%s follows the later adaptations', (id, statements) => {
    expect(compoundById(id)?.hazards?.statements).toEqual(statements);
  });

  // Salicylic acid: a third open extract, of the 23rd adaptation: index
  // 607-732-00-5, Repr. 2, Acute Tox. 4 (oral), Eye Dam. 1.
  it('has salicylic acid as the table of the 23rd adaptation does', () => {
    const hazards = compoundById('salicylic-acid')?.hazards;
    expect(hazards?.note).toContain('607-732-00-5');
    expect(hazards?.statements).toEqual(['H302', 'H318', 'H361d']);
  });
});
