import { describe, expect, it } from 'vitest';
import { Molecule } from 'openchemlib';
import { MF } from 'mf-parser';
import { compounds, compoundById, sources } from '../../../core/compounds/index.ts';
import { incompatibilityGroups, keptApartFrom } from '../../../core/compounds/index.ts';
import type { Compound, IncompatibilityGroup } from '../../../core/compounds/index.ts';
import { atomicWeights } from '../../../core/formula/atomic-weights.ts';
import { hillFormula } from '../../../core/formula/hill.ts';
import { molarMass } from '../../../core/formula/molar-mass.ts';
import { parseFormula } from '../../../core/formula/parse-formula.ts';
import { parseEntered } from '../../../core/quantity/entered.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { Dimension } from '../../../core/quantity/unit.ts';
import { units } from '../../../core/quantity/unit.ts';

const hill = (text: string): string => {
  const parsed = parseFormula(text);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.error.code}`);
  return hillFormula(parsed.value);
};

/** Every number of a compound with what it should be. */
function valuesOf(
  compound: Compound,
): { what: string; entered: Entered; source: string; dimension: Dimension }[] {
  const list: { what: string; entered: Entered; source: string; dimension: Dimension }[] = [];
  const put = (what: string, value: { value: Entered; source: string } | null, dimension: Dimension) => {
    if (value !== null) list.push({ what, entered: value.value, source: value.source, dimension });
  };
  put('melting point', compound.meltingPoint, 'temperature');
  put('boiling point', compound.boilingPoint, 'temperature');
  put('density', compound.density, 'density');
  put('refractive index', compound.refractiveIndex, 'number');
  put('heat of fusion', compound.heatOfFusion, 'molar-energy');
  for (const acidity of compound.acidities) put('pKa', acidity, 'number');
  for (const { points, source } of compound.solubilities) {
    for (const point of points) {
      list.push({
        what: 'solubility',
        entered: point.solubility,
        source,
        dimension: point.solubility.unit === '% w/w' ? 'mass-fraction' : 'density',
      });
      list.push({
        what: 'temperature of a solubility',
        entered: point.temperature,
        source,
        dimension: 'temperature',
      });
    }
  }
  for (const stock of compound.stockStrengths) {
    list.push({
      what: 'strength',
      entered: stock.massFraction,
      source: stock.source,
      dimension: 'mass-fraction',
    });
    list.push({
      what: 'density of a strength',
      entered: stock.density,
      source: stock.source,
      dimension: 'density',
    });
  }
  return list;
}

describe('the compounds library', () => {
  it('has unique ids, names and registry numbers', () => {
    for (const key of ['id', 'name', 'registryNumber'] as const) {
      const seen = compounds.map((one) => one[key]).filter((one) => one !== null);
      expect(seen.filter((one, place) => seen.indexOf(one) !== place)).toEqual([]);
    }
    expect(compoundById('benzoic-acid')?.name).toBe('benzoic acid');
    expect(compoundById('no-such-thing')).toBeUndefined();
  });

  it('has no name twice within a compound', () => {
    for (const { id, name, synonyms } of compounds) {
      const all = [name, ...synonyms].map((one) => one.toLowerCase());
      expect(new Set(all).size, id).toBe(all.length);
    }
  });

  it('names a known source for every value and every hazard', () => {
    for (const compound of compounds) {
      for (const { what, source } of valuesOf(compound)) {
        expect(Object.keys(sources), `${compound.id} ${what}`).toContain(source);
      }
      if (compound.hazards !== null) expect(Object.keys(sources)).toContain(compound.hazards.source);
      if (compound.storage !== null) expect(Object.keys(sources)).toContain(compound.storage.source);
    }
  });

  it('holds only numbers that can be read, each in a unit of its kind', () => {
    for (const compound of compounds) {
      for (const { what, entered, dimension } of valuesOf(compound)) {
        const parsed = parseEntered(entered, dimension, what);
        expect(parsed.ok, `${compound.id} ${what} ${entered.text} ${entered.unit}`).toBe(true);
        expect(units[entered.unit].dimension).toBe(dimension);
      }
    }
  });

  it('gives the temperature of every density of a liquid', () => {
    for (const { id, form, density } of compounds) {
      if (form === 'liquid' && density !== null) expect(density.temperature, id).not.toBeNull();
    }
  });

  // A superscript temperature glued to the digits (1.08220) would show as too many of them.
  it('has densities and refractive indices of a plausible size and length', () => {
    for (const { id, density, refractiveIndex } of compounds) {
      if (density !== null) {
        expect(Number(density.value.text), id).toBeGreaterThan(0.6);
        expect(Number(density.value.text), id).toBeLessThan(14);
        expect(density.value.text.length, id).toBeLessThanOrEqual(7);
      }
      if (refractiveIndex !== null) {
        expect(Number(refractiveIndex.value.text), id).toBeGreaterThan(1.25);
        expect(Number(refractiveIndex.value.text), id).toBeLessThan(1.8);
        expect(refractiveIndex.value.text.length, id).toBeLessThanOrEqual(7);
      }
    }
  });

  it('boils above its melting point', () => {
    for (const { id, meltingPoint, boilingPoint } of compounds) {
      if (meltingPoint === null || boilingPoint === null) continue;
      const value = (text: string) => Number(text.replace('−', '-'));
      expect(value(boilingPoint.value.text), id).toBeGreaterThan(value(meltingPoint.value.text));
    }
  });

  it('says a liquid is liquid and a solid solid at 20 °C', () => {
    for (const { id, form, meltingPoint, boilingPoint } of compounds) {
      const melts = meltingPoint === null ? null : Number(meltingPoint.value.text.replace('−', '-'));
      const boils = boilingPoint === null ? null : Number(boilingPoint.value.text.replace('−', '-'));
      // Up to 30 °C liquids are kept supercooled or melted (cyclohexanol, tert-butanol, phenol is not).
      if (form === 'liquid' && melts !== null) expect(melts, id).toBeLessThan(30);
      if (form === 'solid' && melts !== null) expect(melts, id).toBeGreaterThan(20);
      if (form === 'liquid' && boils !== null) expect(boils, id).toBeGreaterThan(20);
    }
  });
});

describe('formula against structure', () => {
  it('agrees with openchemlib for every compound that has one', () => {
    const wrong = compounds
      .filter(({ smiles }) => smiles !== '')
      .map(({ id, formula, smiles }) => ({
        id,
        structure: hill(Molecule.fromSmiles(smiles).getMolecularFormula().formula),
        formula: hill(formula),
      }))
      .filter(({ structure, formula }) => structure !== formula);
    expect(wrong).toEqual([]);
  });

  it('leaves the structure out for metals and charcoal only', () => {
    for (const { id, family, smiles } of compounds) if (smiles === '') expect(family, id).toBe('element');
  });
});

/**
 * The tables differ in edition: ours is the abridged one of 2021 (five figures), mf-parser and
 * openchemlib carry older, unabridged values. Two checks follow from that. With the other library's
 * weight put in for each element the masses have to agree in all figures, which tests the counting of
 * atoms. With each library's own weights they have to agree within the uncertainty that the table of
 * 2021 states for the elements (U of CIAAW/IUPAC, Pure Appl. Chem. 94 (2022) 573), which tests the table.
 */
describe('molar masses', () => {
  const read = (formula: string) => {
    const parsed = parseFormula(formula);
    if (!parsed.ok) throw new Error(formula);
    return parsed.value;
  };
  const stated = (formula: string): number =>
    read(formula).elements.reduce(
      (sum, { element, count }) => sum + count * weightOf(element).uncertainty,
      0,
    );
  const weightOf = (element: string): { weight: number; uncertainty: number } => {
    const { weight = null, uncertainty = null } = atomicWeights.get(element) ?? {};
    if (weight === null || uncertainty === null) throw new Error(element);
    return { weight, uncertainty };
  };
  /** That parser takes square brackets for isotopes; the composition is what is compared. */
  const byMfParser = (formula: string): number => new MF(hill(formula)).getInfo().mass;

  it('agree with mf-parser to more than six figures, given the same atomic weights', () => {
    for (const { id, formula } of compounds) {
      const shift = read(formula).elements.reduce(
        (sum, { element, count }) => sum + count * (weightOf(element).weight - byMfParser(element)),
        0,
      );
      const own = molarMass(read(formula)).value;
      expect(Math.abs(own - (byMfParser(formula) + shift)) / own, id).toBeLessThan(1e-9);
    }
  });

  it('agree with mf-parser and openchemlib within the stated uncertainty of the atomic weights', () => {
    for (const { id, formula, smiles } of compounds) {
      const own = molarMass(read(formula)).value;
      const others = [byMfParser(formula)];
      if (smiles !== '') others.push(Molecule.fromSmiles(smiles).getMolecularFormula().relativeWeight);
      for (const other of others)
        expect(Math.abs(own - other), `${id} ${other}`).toBeLessThan(stated(formula));
    }
  });
});

describe('storage', () => {
  it('keeps apart mutually, and nothing from itself', () => {
    for (const group of Object.keys(incompatibilityGroups) as IncompatibilityGroup[]) {
      expect(keptApartFrom(group)).not.toContain(group);
      for (const other of keptApartFrom(group))
        expect(keptApartFrom(other), `${group} ${other}`).toContain(group);
    }
    // Common practice, no source: nitric acid and acetic acid never share a tray.
    expect(keptApartFrom('oxidising-acid')).toContain('organic-acid');
    expect(keptApartFrom('oxidiser')).toContain('flammable');
  });

  it('is named for every compound but water', () => {
    expect(compounds.filter(({ storage }) => storage === null).map(({ id }) => id)).toEqual(['water']);
  });

  // The group follows the classification: what burns as a liquid, what feeds a fire, what water sets alight.
  it('agrees with the statements on the label', () => {
    for (const { id, hazards, storage } of compounds) {
      const codes = (hazards?.statements ?? []).flatMap((one) => one.split('+'));
      const group = storage?.group;
      if (codes.some((code) => /^H27[0-2]$/.test(code)))
        expect(['oxidiser', 'oxidising-acid'], id).toContain(group);
      if (codes.includes('H260')) expect(group, id).toBe('water-reactive');
      // Acids, amines, acid chlorides and halides go with their kind; their flammability is said elsewhere.
      if (codes.includes('H224') || codes.includes('H225'))
        expect(['flammable', 'base', 'acid-derivative', 'halogenated'], id).toContain(group);
      if (group === 'oxidiser') expect(keptApartFrom('oxidiser'), id).toContain('general-organic');
    }
  });
});
