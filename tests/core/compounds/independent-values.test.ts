import { describe, expect, it } from 'vitest';
import { compoundById, compounds } from '../../../core/compounds/index.ts';

const number = (text: string | undefined): number => Number((text ?? 'NaN').replace('−', '-'));
type Rows = readonly (readonly [id: string, value: number])[];

/**
 * Values of a second origin beside those of the CRC Handbook that the library carries, all read through the
 * open data set CalebBell/chemicals: CAS Common Chemistry (°C), and Perry's Chemical Engineers' Handbook
 * (8th ed., equation DIPPR 105), worked out at the temperature of the library's density (g/mL).
 */
const melting: Rows = [
  ['acetylsalicylic-acid', 135],
  ['benzoic-acid', 122.4],
  ['4-aminobenzoic-acid', 188.5],
  ['sodium-hydroxide', 323],
  ['potassium-chloride', 770],
  ['naphthalene', 80.2],
  ['phenanthrene', 101],
  ['trans-stilbene', 124],
  ['diphenylmethane', 25.9],
  ['1-4-dibromobenzene', 87.3],
  ['1-4-dimethoxybenzene', 59],
  ['triphenylmethanol', 164.2],
  ['o-cresol', 30],
  ['2-naphthol', 121.6],
  ['hydroquinone', 170.5],
  ['4-nitrophenol', 113.5],
  ['bht', 70],
  ['3-nitrobenzaldehyde', 58.5],
  ['4-hydroxybenzaldehyde', 117],
  ['piperonal', 37],
  ['fluorenone', 84],
  ['menthol', 42],
  ['malonic-acid', 135],
  ['tartaric-acid', 169],
  ['phenylacetic-acid', 76.5],
  ['2-nitrobenzoic-acid', 147.5],
  ['o-toluic-acid', 103.7],
  ['4-hydroxybenzoic-acid', 214.5],
  ['nicotinic-acid', 236.6],
  ['lauric-acid', 44.2],
  ['maleic-anhydride', 52.8],
  ['benzoic-anhydride', 42.5],
  ['p-toluidine', 44.5],
  ['4-nitroaniline', 146],
  ['imidazole', 90.5],
  ['2-2-bipyridine', 72],
  ['1-3-dinitrobenzene', 89.5],
  ['4-nitroacetanilide', 216],
  ['phenacetin', 134.5],
  ['benzanilide', 163],
  ['caprolactam', 69.3],
  ['succinimide', 126.5],
  ['p-toluenesulfonic-acid-monohydrate', 105.15],
  ['dimethyl-sulfone', 109],
  ['triphenylphosphine-oxide', 156.5],
];
const boiling: Rows = [
  ['acetic-anhydride', 139.5],
  ['3-methylbutan-1-ol', 132.5],
  ['cyclohexanol', 161.08],
  ['ethanol', 78.5],
  ['acetone', 56],
  ['ethyl-acetate', 77],
  ['1-4-dioxane', 101.1],
  ['dichloromethane', 39.75],
  ['acetonitrile', 81.6],
  ['dimethyl-sulfoxide', 189],
  ['methyl-acetate', 56.8],
  ['hexane', 68.7],
  ['octane', 125.67],
  ['hexadecane', 286.5],
  ['methylcyclohexane', 100.9],
  ['1-octene', 121.2],
  ['ethylbenzene', 136.1],
  ['m-xylene', 139.3],
  ['mesitylene', 164.7],
  ['p-cymene', 177.1],
  ['styrene', 145],
  ['1-bromobutane', 101.3],
  ['2-chloro-2-methylpropane', 50.9],
  ['1-iodobutane', 130.6],
  ['iodoethane', 72],
  ['bromobenzene', 156.2],
  ['1-bromonaphthalene', 281],
  ['phenetole', 172],
  ['2-propanol', 82.5],
  ['2-butanol', 99.5],
  ['2-methyl-2-propanol', 82.41],
  ['2-methyl-2-butanol', 102.4],
  ['1-octanol', 194.5],
  ['ethylene-glycol', 197.3],
  ['glycerol', 290],
  ['2-phenylethanol', 218.2],
  ['furfuryl-alcohol', 171],
  ['m-cresol', 202],
  ['benzaldehyde', 179],
  ['4-methylbenzaldehyde', 204],
  ['propiophenone', 218],
  ['cyclopentanone', 130.6],
  ['3-pentanone', 101.9],
  ['acetylacetone', 140],
  ['propanoic-acid', 141.1],
];
const densities: Rows = [
  ['acetic-anhydride', 1.0811],
  ['3-methylbutan-1-ol', 0.8109],
  ['methyl-benzoate', 1.0838],
  ['acetic-acid', 1.042],
  ['ethanol', 0.7903],
  ['methanol', 0.7944],
  ['acetone', 0.7866],
  ['butanone', 0.7995],
  ['ethyl-acetate', 0.8995],
  ['diethyl-ether', 0.7138],
  ['tetrahydrofuran', 0.88],
  ['1-4-dioxane', 1.034],
  ['dichloromethane', 1.3276],
  ['chloroform', 1.4828],
  ['acetonitrile', 0.782],
  ['dimethylformamide', 0.9445],
  ['dimethyl-sulfoxide', 1.0961],
  ['methyl-acetate', 0.9345],
  ['pentane', 0.6267],
  ['hexane', 0.656],
  ['heptane', 0.6816],
  ['octane', 0.7027],
  ['dodecane', 0.7498],
  ['hexadecane', 0.769],
  ['cyclohexane', 0.7731],
  ['methylcyclohexane', 0.7702],
  ['cyclohexene', 0.811],
  ['1-octene', 0.7171],
  ['toluene', 0.8639],
  ['ethylbenzene', 0.8636],
  ['o-xylene', 0.8759],
  ['m-xylene', 0.8602],
  ['p-xylene', 0.8567],
  ['cumene', 0.8591],
  ['tetralin', 0.9669],
  ['styrene', 0.9005],
  ['bromobenzene', 1.4936],
  ['chlorobenzene', 1.1054],
  ['anisole', 0.9951],
  ['1-propanol', 0.7995],
  ['2-propanol', 0.7818],
  ['1-butanol', 0.8082],
  ['2-butanol', 0.8071],
  ['2-methyl-2-propanol', 0.7889],
  ['1-pentanol', 0.8161],
  ['1-hexanol', 0.8196],
  ['1-octanol', 0.826],
  ['ethylene-glycol', 1.1137],
  ['propylene-glycol', 1.0364],
  ['benzyl-alcohol', 1.042],
  ['m-cresol', 1.0337],
  ['butanal', 0.8023],
  ['cyclohexanone', 0.947],
  ['2-pentanone', 0.8079],
  ['3-pentanone', 0.8095],
  ['4-methyl-2-pentanone', 0.7963],
  ['formic-acid', 1.2197],
  ['propanoic-acid', 0.9882],
  ['butanoic-acid', 0.9516],
  ['benzonitrile', 1.0093],
];

describe('values of the library against a second origin', () => {
  it.each(melting)('%s melts within 3 °C of it', (id, celsius) => {
    expect(Math.abs(number(compoundById(id)?.meltingPoint?.value.text) - celsius)).toBeLessThanOrEqual(3);
  });

  it.each(boiling)('%s boils within 3 °C of it', (id, celsius) => {
    expect(Math.abs(number(compoundById(id)?.boilingPoint?.value.text) - celsius)).toBeLessThanOrEqual(3);
  });

  it.each(densities)('%s is as dense, to 1 %%', (id, gramsPerMl) => {
    expect(Math.abs(number(compoundById(id)?.density?.value.text) / gramsPerMl - 1)).toBeLessThan(0.01);
  });

  // Where the handbook stands against two or more other collections, or far from one, a note says so.
  it('says where collections disagree by more than 3 °C', () => {
    for (const [id, field] of [
      ['benzaldehyde', 'meltingPoint'],
      ['2-butanol', 'meltingPoint'],
      ['acetanilide', 'boilingPoint'],
      ['benzil', 'boilingPoint'],
      ['sodium-nitrite', 'meltingPoint'],
    ] as const) {
      expect(compoundById(id)?.[field]?.note, id).toMatch(/other collections?:|another collection:/);
    }
    expect(compoundById('cyclohexanol')?.density?.note).toContain('0.951');
  });

  it('has each field filled for at least so many compounds', () => {
    const filled = (has: (one: (typeof compounds)[number]) => unknown): number =>
      compounds.filter((one) => Boolean(has(one))).length;
    expect(filled(({ meltingPoint }) => meltingPoint)).toBeGreaterThanOrEqual(330);
    expect(filled(({ boilingPoint }) => boilingPoint)).toBeGreaterThanOrEqual(200);
    expect(filled(({ density }) => density)).toBeGreaterThanOrEqual(269);
    expect(filled(({ refractiveIndex }) => refractiveIndex)).toBeGreaterThanOrEqual(150);
    expect(filled(({ heatOfFusion }) => heatOfFusion)).toBeGreaterThanOrEqual(180);
    expect(filled(({ solubilities }) => solubilities.length)).toBeGreaterThanOrEqual(67);
    expect(filled(({ hazards }) => hazards)).toBeGreaterThanOrEqual(220);
  });
});
