import fc from 'fast-check';
import { Molecule } from 'openchemlib';
import { describe, expect, it } from 'vitest';
import {
  blankOwnCompound,
  compounds,
  CompoundSearch,
  ownCompoundAsCompound,
  ownCompoundDifferences,
  ownCompoundDoubts,
  readOwnCompound,
  rowFromCompound,
  statementText,
  type OwnCompoundContent,
} from '../../../core/compounds/index.ts';
import { furtherHazardTexts } from '../../../core/compounds/ghs-further.ts';
import { compositionOfSmiles } from '../../../core/formula/structure-composition.ts';
import { problemSentence } from '../../../core/wording/index.ts';
import { ownSource, sampleOwnCompound, sampleOwnLiquid } from './make-own-compound.ts';

const read = (content: OwnCompoundContent) =>
  readOwnCompound(
    content,
    content.smiles.trim() === ''
      ? null
      : compositionOfSmiles(content.smiles, (text) => Molecule.fromSmiles(text)),
  );
const faults = (changes: Partial<OwnCompoundContent>): readonly string[] => {
  const result = read(sampleOwnCompound(changes));
  return result.ok ? [] : result.error.map(({ code, where }) => `${code} at ${where}`);
};
const value = { value: '', temperature: '', source: '', note: '' };

describe('readOwnCompound', () => {
  it('takes a complete form and one that says no more than a name', () => {
    expect(read(sampleOwnCompound())).toEqual({ ok: true, value: sampleOwnCompound() });
    const least = {
      ...blankOwnCompound,
      name: 'petroleum ether',
      family: 'solvent',
      form: 'liquid',
    } as const;
    expect(read(least)).toEqual({ ok: true, value: least });
  });

  it('takes what was typed without the blanks around it, and codes as they are printed', () => {
    const typed = sampleOwnCompound({
      name: '  4-methoxyacetanilide ',
      synonyms: ['methacetin ', '', ' methacetin', '4-methoxyacetanilide', 'N-(4-methoxyphenyl)acetamide'],
      acidities: [value],
      hazards: {
        ...sampleOwnCompound().hazards,
        pictograms: ['ghs07'],
        statements: ['h302', ' H302'],
        precautions: ['p264', 'p270', ''],
      },
    });
    expect(read(typed)).toEqual({ ok: true, value: sampleOwnCompound() });
    const combined = { ...sampleOwnCompound().hazards, statements: ['h302 + h312', 'euh066', 'H361fd'] };
    const result = read(sampleOwnCompound({ hazards: combined }));
    expect(result.ok && result.value.hazards.statements).toEqual(['H302+H312', 'EUH066', 'H361fd']);
  });

  const hazards = sampleOwnCompound().hazards;
  it.each<[string, Partial<OwnCompoundContent>, readonly string[]]>([
    ['no name', { name: ' ' }, ['own-name-missing at name']],
    ['no family', { family: '' }, ['own-family-missing at family']],
    ['no state', { form: '' }, ['own-form-missing at form']],
    [
      'a formula nobody can read',
      { formula: 'C9H11No2X', smiles: '' },
      [expect.stringMatching(/ at formula$/)],
    ],
    [
      'a structure of another compound',
      { smiles: 'CC(=O)Nc1ccccc1' },
      ['formula-contradicts-structure at smiles'],
    ],
    ['a structure that is none', { smiles: 'C1CC' }, ['structure-unreadable at smiles']],
    ['a structure left open', { smiles: '*CC' }, ['structure-open at smiles']],
    ['a wrong check digit', { registryNumber: '51-66-2' }, ['registry-number-wrong at registryNumber']],
    [
      'a melting point without its source',
      { melting: { from: '127', to: '130', source: '', note: '' } },
      ['own-source-missing at melting.source'],
    ],
    [
      'a melting range the wrong way round',
      { melting: { from: '130', to: '127', source: ownSource, note: '' } },
      ['own-range-turned at melting.to'],
    ],
    [
      'a range of no width',
      { melting: { from: '127', to: '127.0', source: ownSource, note: '' } },
      ['own-range-turned at melting.to'],
    ],
    [
      'the upper end of a range alone',
      { melting: { from: '', to: '130', source: ownSource, note: '' } },
      ['own-value-missing at melting.from'],
    ],
    [
      'a boiling range the wrong way round',
      { boiling: { from: '180', to: '178', pressureKpa: '', source: ownSource, note: '' } },
      ['own-range-turned at boiling.to'],
    ],
    [
      'a source without a value',
      { refractiveIndex: { ...value, source: ownSource } },
      ['own-value-missing at refractiveIndex.value'],
    ],
    [
      'a density without its temperature',
      { density: { ...value, value: '1.20', source: ownSource } },
      ['own-temperature-missing at density.temperature'],
    ],
    [
      'a density of a star',
      { density: { ...value, value: '1200', temperature: '20', source: ownSource } },
      ['quantity-out-of-range at density.value'],
    ],
    [
      'a decimal comma',
      { density: { ...value, value: '1,20', temperature: '20', source: ownSource } },
      ['number-comma at density.value'],
    ],
    [
      'a refractive index that lost its point',
      { refractiveIndex: { ...value, value: '14', temperature: '20', source: ownSource } },
      ['own-index-out-of-range at refractiveIndex.value'],
    ],
    [
      'melting that gives heat',
      { heatOfFusion: { value: '-18', source: ownSource, note: '' } },
      ['own-fusion-not-positive at heatOfFusion.value'],
    ],
    [
      'an acidity constant without its source',
      { acidities: [{ ...value, value: '4.2' }] },
      ['own-source-missing at acidities.0.source'],
    ],
    [
      'a solubility without its temperature',
      {
        solubilities: [
          { solvent: 'water', points: [{ temperature: '', solubility: '5.3' }], source: ownSource, note: '' },
        ],
      },
      ['own-temperature-missing at solubilities.0.points.0.temperature'],
    ],
    [
      'a strength of the bottle without its density',
      { stockStrengths: [{ percent: '37', density: '', temperature: '', source: ownSource, note: '' }] },
      ['own-value-missing at stockStrengths.0.density'],
    ],
    [
      'a hazard statement there is not',
      { hazards: { ...hazards, statements: ['H302', 'H399'] } },
      ['hazard-code-unknown at hazards.statements'],
    ],
    [
      'half of a combined statement there is not',
      { hazards: { ...hazards, statements: ['H302+H399'] } },
      ['hazard-code-unknown at hazards.statements'],
    ],
    [
      'a statement out of its form',
      { hazards: { ...hazards, statements: ['H30'] } },
      ['hazard-code-malformed at hazards.statements'],
    ],
    [
      'a precaution out of its form',
      { hazards: { ...hazards, precautions: ['P9'] } },
      ['precaution-code-malformed at hazards.precautions'],
    ],
    [
      'a tenth pictogram',
      { hazards: { ...hazards, pictograms: ['GHS10'] } },
      ['pictogram-unknown at hazards.pictograms'],
    ],
    [
      'a classification without its source',
      { hazards: { ...hazards, source: '' } },
      ['own-source-missing at hazards.source'],
    ],
    [
      'a keeping without its group',
      { storage: { group: '', text: 'Keep dry.', source: ownSource } },
      ['own-group-missing at storage.group'],
    ],
  ])('finds %s', (_, changes, expected) => {
    expect(faults(changes)).toEqual(expected);
  });

  it('names every fault at once, in the order of the form, each in words', () => {
    const result = read({
      ...sampleOwnCompound(),
      name: '',
      registryNumber: '1-2-3',
      melting: { from: 'abc', to: '', source: '', note: '' },
    });
    expect(result.ok).toBe(false);
    if (result.ok) return;
    expect(result.error.map(({ where }) => where)).toEqual([
      'name',
      'registryNumber',
      'melting.from',
      'melting.source',
    ]);
    for (const problem of result.error) expect(problemSentence(problem)).toMatch(/^[A-Z“‘0-9].*[.?]$/);
  });

  it('lets the hydrate stand whose water is not drawn', () => {
    const hydrate = { formula: 'C9H11NO2·2H2O', smiles: 'COc1ccc(NC(C)=O)cc1' };
    expect(faults(hydrate)).toEqual([]);
  });

  it('never throws, whatever was typed, and reads its own answer as the same', () => {
    const box = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 12 }),
      fc.constantFrom('', '12.5', '-3', '1e9', ' '),
    );
    const sourced = { source: box, note: box };
    const at = fc.record({ value: box, temperature: box, ...sourced });
    const form: fc.Arbitrary<OwnCompoundContent> = fc.record({
      format: fc.constant('fairleaf-compound/1' as const),
      name: box,
      synonyms: fc.array(box, { maxLength: 3 }),
      family: fc.constant('amide' as const),
      formula: fc.oneof(box, fc.constantFrom('C9H11NO2', 'CuSO4·5H2O')),
      smiles: fc.constantFrom('', 'CCO', 'COc1ccc(NC(C)=O)cc1', '(((', '*'),
      registryNumber: fc.oneof(box, fc.constant('51-66-1')),
      form: fc.constantFrom('solid', 'liquid', 'gas', 'solution', ''),
      melting: fc.record({ from: box, to: box, ...sourced }),
      boiling: fc.record({ from: box, to: box, pressureKpa: box, ...sourced }),
      density: at,
      refractiveIndex: at,
      heatOfFusion: fc.record({ value: box, ...sourced }),
      acidities: fc.array(at, { maxLength: 2 }),
      solubilities: fc.array(
        fc.record({
          solvent: box,
          points: fc.array(fc.record({ temperature: box, solubility: box }), { maxLength: 2 }),
          ...sourced,
        }),
        { maxLength: 2 },
      ),
      stockStrengths: fc.array(fc.record({ percent: box, density: box, temperature: box, ...sourced }), {
        maxLength: 2,
      }),
      hazards: fc.record({
        signalWord: fc.constantFrom('', 'Danger', 'Warning'),
        pictograms: fc.array(fc.oneof(box, fc.constant('GHS02')), { maxLength: 2 }),
        statements: fc.array(fc.oneof(box, fc.constantFrom('H225', 'h302+h312')), { maxLength: 3 }),
        precautions: fc.array(fc.oneof(box, fc.constant('P280')), { maxLength: 2 }),
        ...sourced,
      }),
      storage: fc.record({ group: fc.constantFrom('', 'base'), text: box, source: box }),
    });
    fc.assert(
      fc.property(form, (typed) => {
        const result = read(typed);
        if (result.ok) {
          expect(read(result.value)).toEqual(result);
          expect(ownCompoundDifferences(result.value, result.value)).toEqual([]);
          // Whatever passes can be shown and taken into a row.
          rowFromCompound(ownCompoundAsCompound('own-1', result.value), { id: 'r', role: 'reactant' });
        } else {
          expect(result.error.length).toBeGreaterThan(0);
          for (const { where } of result.error) expect(where).toMatch(/^[a-zA-Z]+(\.|$)/);
        }
      }),
      { numRuns: 2000, seed: 20_260_311 },
    );
  });

  it('refuses a form in which any one source was rubbed out', () => {
    const whole = sampleOwnCompound({
      boiling: { from: '300', to: '', pressureKpa: '', source: ownSource, note: '' },
      refractiveIndex: { value: '1.5500', temperature: '20', source: ownSource, note: '' },
      heatOfFusion: { value: '20.1', source: ownSource, note: '' },
      acidities: [{ value: '4.2', temperature: '25', source: ownSource, note: '' }],
      solubilities: [
        { solvent: 'water', points: [{ temperature: '20', solubility: '5.3' }], source: ownSource, note: '' },
      ],
      stockStrengths: [{ percent: '37', density: '1.18', temperature: '20', source: ownSource, note: '' }],
    });
    expect(read(whole).ok).toBe(true);
    const text = JSON.stringify(whole);
    const named = `"source":"${ownSource}"`;
    const places = text.split(named).length - 1;
    expect(places).toBe(10);
    for (let at = 0; at < places; at += 1) {
      let seen = -1;
      const rubbed = text.replaceAll(named, (found) => ((seen += 1) === at ? '"source":""' : found));
      const result = read(JSON.parse(rubbed) as OwnCompoundContent);
      expect(result.ok ? [] : result.error.map(({ code }) => code)).toEqual(['own-source-missing']);
    }
  });
});

describe('statementText', () => {
  // UN GHS annex 3: a code of the 200s is physical, of the 300s health, of the 400s environmental.
  it('knows the further codes of the standard, and none that is not in it', () => {
    expect(statementText('H228')).toBe('Flammable solid');
    expect(statementText('H413')).toMatch(/aquatic/);
    expect(statementText('H399')).toBeNull();
    expect(statementText('constructor')).toBeNull();
    for (const code of Object.keys(furtherHazardTexts))
      expect(code).toMatch(/^(EUH0|H[234])\d\d[A-Za-z]{0,2}$/);
  });
});

describe('ownCompoundDoubts', () => {
  const codes = (changes: Partial<OwnCompoundContent>): readonly string[] =>
    ownCompoundDoubts(sampleOwnCompound(changes), compounds).map(({ code }) => code);

  it('says what the shipped library has already, and forbids nothing', () => {
    expect(codes({})).toEqual([]);
    expect(codes({ name: 'Acetanilide' })).toEqual(['own-name-in-library']);
    expect(codes({ synonyms: ['ACETYLSALICYLIC-ACID'] })).toEqual(['own-name-in-library']);
    // 50-78-2 is acetylsalicylic acid, C9H8O4.
    expect(codes({ registryNumber: '50-78-2' })).toEqual(['own-registry-other-formula']);
    expect(codes({ registryNumber: '50-78-2', formula: 'C9H8O4' })).toEqual(['own-registry-in-library']);
    expect(codes({ boiling: { from: '100', to: '', pressureKpa: '', source: ownSource, note: '' } })).toEqual(
      ['own-melts-above-boiling'],
    );
  });
});

describe('a compound of one’s own', () => {
  it('is found beside the shipped ones by name, synonym, formula and registry number, misspelt too', () => {
    const own = ownCompoundAsCompound('own-1', sampleOwnCompound());
    const search = new CompoundSearch([own, ...compounds]);
    for (const query of [
      '4-methoxyacetanilide',
      'metacetin',
      'methacetni',
      '4-methoxyacetanilid',
      'NO2H11C9',
      '51-66-1',
    ]) {
      expect(search.find(query, 1)[0]?.id, query).toBe('own-1');
    }
    expect(search.find('aspirin', 1)[0]?.id).toBe('acetylsalicylic-acid');
  });

  it('stands before the shipped one of the same name', () => {
    const own = ownCompoundAsCompound('own-1', sampleOwnCompound({ name: 'benzoic acid' }));
    const found = new CompoundSearch([own, ...compounds]).find('benzoic acid', 2);
    expect(found.map(({ id }) => id)).toEqual(['own-1', 'benzoic-acid']);
  });

  it('gives a row its formula, structure and density with its temperature, and no assay', () => {
    const own = ownCompoundAsCompound('own-2', sampleOwnLiquid());
    expect(rowFromCompound(own, { id: 'r', role: 'reactant' })).toMatchObject({
      name: 'propyl pentanoate',
      formula: 'C8H16O2',
      compoundId: 'own-2',
      smiles: 'CCCCC(=O)OCCC',
      supply: {
        kind: 'neat-liquid',
        density: { text: '0.870', unit: 'g/mL' },
        densityTemperature: { text: '20', unit: '°C' },
        assay: null,
      },
    });
  });

  it('tells the differences between two forms box by box', () => {
    const before = sampleOwnCompound();
    const after = sampleOwnCompound({
      melting: { ...before.melting, to: '131' },
      synonyms: ['methacetin'],
      storage: { group: '', text: '', source: '' },
    });
    expect(ownCompoundDifferences(before, after)).toEqual([
      {
        path: 'synonyms',
        label: 'other names',
        old: 'methacetin; N-(4-methoxyphenyl)acetamide',
        new: 'methacetin',
      },
      { path: 'melting', label: 'melting point', old: '127 to 130 °C', new: '127 to 131 °C' },
      {
        path: 'storage.group',
        label: 'storage group',
        old: 'other organic substance',
        new: '',
      },
      { path: 'storage.text', label: 'keeping', old: 'Keep dry.', new: '' },
      { path: 'storage.source', label: 'keeping, source', old: ownSource, new: '' },
    ]);
  });
});
