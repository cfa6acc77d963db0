import { againstStructure } from '../formula/against-structure.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import type { StructureComposition } from '../formula/structure-composition.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import { fail, ok, type Problem, type Result } from '../result.ts';
import { ghsPictograms, statementText } from './ghs.ts';
import type { OwnCompoundContent, OwnRange, OwnValueAt } from './own-compound.ts';
import { tidyOwnCompound } from './tidy-own-compound.ts';
import { isRegistryNumber } from './registry-number.ts';

const problemAt = (code: string, where: string, facts: Problem['facts'] = {}): Problem => ({
  code,
  where,
  facts,
});

/** Between these lies every refractive index of a liquid or a crystal in a teaching store. From memory. */
const refractiveIndexBounds = { least: 1, most: 4 };

/** Reads one form and keeps everything that is wrong with it, each at its box. */
class FormReader {
  readonly problems: Problem[] = [];
  readonly #content: OwnCompoundContent;

  constructor(content: OwnCompoundContent) {
    this.#content = content;
  }

  add(code: string, where: string, facts: Problem['facts'] = {}): void {
    this.problems.push(problemAt(code, where, facts));
  }

  /** @returns the number in the unit of the box, or null where it is blank or wrong */
  number(text: string, unit: UnitSymbol, dimension: Dimension, where: string): number | null {
    if (text === '') return null;
    const read = parseEntered({ text, unit }, dimension, where);
    if (read.ok) return read.value.value;
    this.problems.push(read.error);
    return null;
  }

  /** A value has a source; what stands beside a blank value belongs to nothing. */
  source(isGiven: boolean, beside: Readonly<Record<string, string>>, source: string, where: string): void {
    if (isGiven && source === '') this.add('own-source-missing', `${where}.source`);
    if (isGiven) return;
    const stray = Object.entries({ ...beside, source }).find(([, text]) => text !== '');
    if (stray !== undefined) this.add('own-value-missing', `${where}.${firstBoxOf(where)}`);
  }

  range(where: 'melting' | 'boiling', { from, to, note, source }: OwnRange, pressureKpa = ''): void {
    const low = this.number(from, '°C', 'temperature', `${where}.from`);
    const high = this.number(to, '°C', 'temperature', `${where}.to`);
    if (low !== null && high !== null && !(high > low)) {
      this.add('own-range-turned', `${where}.to`, { from, to });
    }
    this.number(pressureKpa, 'kPa', 'pressure', `${where}.pressureKpa`);
    this.source(from !== '', { to, note, pressureKpa }, source, where);
  }

  valueAt(
    where: string,
    { value, temperature, note, source }: OwnValueAt,
    unit: UnitSymbol,
    dimension: Dimension,
    isTemperatureNeeded: boolean,
  ): number | null {
    const number = this.number(value, unit, dimension, `${where}.value`);
    this.number(temperature, '°C', 'temperature', `${where}.temperature`);
    if (value !== '' && temperature === '' && isTemperatureNeeded) {
      this.add('own-temperature-missing', `${where}.temperature`);
    }
    this.source(value !== '', { temperature, note }, source, where);
    return number;
  }

  identity(structure: Result<StructureComposition, Problem> | null): void {
    const { name, formula, smiles, registryNumber, family, form } = this.#content;
    if (name === '') this.add('own-name-missing', 'name');
    const read = formula === '' ? null : parseFormula(formula);
    if (read?.ok === false) this.problems.push({ ...read.error, where: 'formula' });
    if (smiles !== '' && structure !== null) {
      const wrong = !structure.ok
        ? structure.error
        : read?.ok === true
          ? againstStructure(read.value, structure.value)
          : null;
      if (wrong !== null) this.problems.push({ ...wrong, where: 'smiles' });
    }
    if (registryNumber !== '' && !isRegistryNumber(registryNumber)) {
      this.add('registry-number-wrong', 'registryNumber', { typed: registryNumber });
    }
    if (family === '') this.add('own-family-missing', 'family');
    if (form === '') this.add('own-form-missing', 'form');
  }

  lists(): void {
    const { acidities, solubilities, stockStrengths } = this.#content;
    for (const [index, one] of acidities.entries()) {
      this.valueAt(`acidities.${index}`, one, '1', 'number', false);
    }
    for (const [index, { solvent, points, source }] of solubilities.entries()) {
      const where = `solubilities.${index}`;
      if (solvent === '') this.add('own-solvent-missing', `${where}.solvent`);
      if (points.length === 0) this.add('own-value-missing', `${where}.points.0.solubility`);
      for (const [at, { temperature, solubility }] of points.entries()) {
        const place = `${where}.points.${at}`;
        this.number(temperature, '°C', 'temperature', `${place}.temperature`);
        this.number(solubility, 'g/L', 'density', `${place}.solubility`);
        if (temperature === '') this.add('own-temperature-missing', `${place}.temperature`);
        if (solubility === '') this.add('own-value-missing', `${place}.solubility`);
      }
      if (source === '') this.add('own-source-missing', `${where}.source`);
    }
    for (const [index, { percent, density, temperature, source }] of stockStrengths.entries()) {
      const where = `stockStrengths.${index}`;
      this.number(percent, '% w/w', 'mass-fraction', `${where}.percent`);
      this.number(density, 'g/mL', 'density', `${where}.density`);
      this.number(temperature, '°C', 'temperature', `${where}.temperature`);
      if (percent === '') this.add('own-value-missing', `${where}.percent`);
      if (density === '') this.add('own-value-missing', `${where}.density`);
      if (density !== '' && temperature === '') {
        this.add('own-temperature-missing', `${where}.temperature`);
      }
      if (source === '') this.add('own-source-missing', `${where}.source`);
    }
  }

  hazards(): void {
    const { signalWord, pictograms, statements, precautions, source, note } = this.#content.hazards;
    for (const code of statements) {
      if (!/^(?:EUH\d{3}[A-Z]?|H\d{3}[A-Za-z]{0,2})(?:\+H\d{3}[A-Za-z]{0,2})*$/.test(code)) {
        this.add('hazard-code-malformed', 'hazards.statements', { code });
      } else if (statementText(code) === null) {
        this.add('hazard-code-unknown', 'hazards.statements', { code });
      }
    }
    for (const code of precautions) {
      if (!/^P[1-5]\d\d(?:\+P[1-5]\d\d)*$/.test(code)) {
        this.add('precaution-code-malformed', 'hazards.precautions', { code });
      }
    }
    for (const code of pictograms) {
      if (!Object.hasOwn(ghsPictograms, code)) this.add('pictogram-unknown', 'hazards.pictograms', { code });
    }
    const isGiven = signalWord !== '' || pictograms.length + statements.length + precautions.length > 0;
    if (isGiven && source === '') this.add('own-source-missing', 'hazards.source');
    if (!isGiven && (source !== '' || note !== '')) this.add('own-hazards-missing', 'hazards.statements');
  }

  storage(): void {
    const { group, text, source } = this.#content.storage;
    if (group === '' && (text !== '' || source !== '')) this.add('own-group-missing', 'storage.group');
    if (group !== '' && source === '') this.add('own-source-missing', 'storage.source');
  }
}

const firstBoxOf = (where: string): string => (where === 'melting' || where === 'boiling' ? 'from' : 'value');

/**
 * Reads a department's form, in the order of its boxes.
 *
 * Asked for are a name, a family and how it stands on the shelf; a formula, where there is one, that agrees with the structure; a registry number with
 * its check digit; a source for every value and for nothing else; a density with its temperature; ranges the
 * right way round; hazard statements there are. A blank box stays blank.
 *
 * @param structure what a structure library counted in the SMILES; null where there is none to read
 * @returns the form without blanks around what was typed
 * @error one problem per fault, `where` naming its box (`melting.to`): own-…, registry-number-wrong,
 *   hazard-code-malformed, hazard-code-unknown, precaution-code-malformed, pictogram-unknown, those of
 *   `parseFormula`, `parseEntered` and `againstStructure`, structure-unreadable, structure-open
 */
export function readOwnCompound(
  typed: OwnCompoundContent,
  structure: Result<StructureComposition, Problem> | null,
): Result<OwnCompoundContent, readonly Problem[]> {
  const content = tidyOwnCompound(typed);
  const reader = new FormReader(content);
  reader.identity(structure);
  reader.range('melting', content.melting);
  reader.range('boiling', content.boiling, content.boiling.pressureKpa);
  reader.valueAt('density', content.density, 'g/mL', 'density', true);
  const index = reader.valueAt('refractiveIndex', content.refractiveIndex, '1', 'number', true);
  const { least, most } = refractiveIndexBounds;
  if (index !== null && !(index > least && index < most)) {
    reader.add('own-index-out-of-range', 'refractiveIndex.value', { least, most });
  }
  const { value, note, source } = content.heatOfFusion;
  const fusion = reader.number(value, 'kJ/mol', 'molar-energy', 'heatOfFusion.value');
  if (fusion !== null && !(fusion > 0)) reader.add('own-fusion-not-positive', 'heatOfFusion.value');
  reader.source(value !== '', { note }, source, 'heatOfFusion');
  reader.lists();
  reader.hazards();
  reader.storage();
  return reader.problems.length === 0 ? ok(content) : fail(reader.problems);
}
