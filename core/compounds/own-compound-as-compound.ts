import { parseFormula } from '../formula/parse-formula.ts';
import { hillFormula } from '../formula/hill.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import type { Compound } from './compound.ts';
import { ghsPictograms, type GhsPictogram } from './ghs.ts';
import type { OwnCompoundContent, OwnRange, OwnValueAt } from './own-compound.ts';
import { plainName } from './spelling.ts';

/** A compound of the department's own in the library's shape; a source is text, as the department wrote it. */
export type OwnCompound = Compound<string>;

const entered = (text: string, unit: UnitSymbol): Entered => ({ text, unit });
const enteredOrNull = (text: string, unit: UnitSymbol): Entered | null =>
  text === '' ? null : entered(text, unit);

const range = ({ from, to, source, note }: OwnRange) => ({
  value: entered(from, '°C'),
  ...(to === '' ? {} : { to: entered(to, '°C') }),
  source,
  note,
});
const valueAt = ({ value, temperature, source, note }: OwnValueAt, unit: UnitSymbol) => ({
  value: entered(value, unit),
  temperature: enteredOrNull(temperature, '°C'),
  source,
  note,
});

const isPictogram = (code: string): code is GhsPictogram => Object.hasOwn(ghsPictograms, code);

/**
 * A form that `readOwnCompound` has read, as screens and searches take a compound.
 *
 * @param id of the compound, the same for all its forms
 * @throws for a form without a family or a state, which `readOwnCompound` refuses
 */
export function ownCompoundAsCompound(id: string, content: OwnCompoundContent): OwnCompound {
  const { melting, boiling, density, refractiveIndex, heatOfFusion, hazards, storage } = content;
  const { family, form } = content;
  if (family === '' || form === '') throw new Error(`the form of ${id} was never read`);
  const { signalWord, pictograms, statements, precautions } = hazards;
  const isClassified = signalWord !== '' || pictograms.length + statements.length + precautions.length > 0;
  return {
    id,
    name: content.name,
    synonyms: content.synonyms,
    family,
    formula: content.formula,
    smiles: content.smiles,
    registryNumber: content.registryNumber === '' ? null : content.registryNumber,
    form,
    meltingPoint: melting.from === '' ? null : range(melting),
    boilingPoint:
      boiling.from === '' ? null : { ...range(boiling), pressure: enteredOrNull(boiling.pressureKpa, 'kPa') },
    density: density.value === '' ? null : valueAt(density, 'g/mL'),
    refractiveIndex: refractiveIndex.value === '' ? null : valueAt(refractiveIndex, '1'),
    heatOfFusion:
      heatOfFusion.value === ''
        ? null
        : {
            value: entered(heatOfFusion.value, 'kJ/mol'),
            source: heatOfFusion.source,
            note: heatOfFusion.note,
          },
    solubilities: content.solubilities.map(({ solvent, points, source, note }) => ({
      solvent,
      points: points.map((point) => ({
        temperature: entered(point.temperature, '°C'),
        solubility: entered(point.solubility, 'g/L'),
      })),
      source,
      note,
    })),
    acidities: content.acidities.map((one, index) => ({ ...valueAt(one, '1'), step: index + 1 })),
    stockStrengths: content.stockStrengths.map(({ percent, density: of, temperature, source, note }) => ({
      massFraction: entered(percent, '% w/w'),
      density: entered(of, 'g/mL'),
      temperature: enteredOrNull(temperature, '°C'),
      source,
      note,
    })),
    hazards: isClassified ? { ...hazards, pictograms: pictograms.filter(isPictogram) } : null,
    storage: storage.group === '' ? null : { ...storage, group: storage.group },
  };
}

/** Where a row or a hazard note says it was taken from: the name and the form, since both may change later. */
export const ownSourceText = (name: string, n: number): string =>
  `department’s own library, ${name}, version ${n}`;

/** Blanks and hyphens tell no two compounds apart. */
const squeezed = (name: string): string => plainName(name).replaceAll(' ', '');

type Known = Pick<Compound<unknown>, 'id' | 'name' | 'synonyms' | 'registryNumber' | 'formula'>;

const compositionOf = (formula: string): string | null => {
  const read = formula === '' ? null : parseFormula(formula);
  return read?.ok === true ? hillFormula(read.value) : null;
};

/**
 * What a department should know before it saves; nothing of it forbids saving.
 *
 * @param shipped the library the program comes with
 * @returns problems with the codes own-name-in-library, own-registry-in-library, own-registry-other-formula,
 *   own-melts-above-boiling
 */
export function ownCompoundDoubts(
  content: OwnCompoundContent,
  shipped: readonly Known[],
): readonly Problem[] {
  const doubts: Problem[] = [];
  const names = new Set([content.name, ...content.synonyms].map(squeezed).filter((name) => name !== ''));
  const namesake = shipped.find((one) =>
    [one.name, ...one.synonyms].some((name) => names.has(squeezed(name))),
  );
  if (namesake !== undefined) {
    doubts.push({ code: 'own-name-in-library', where: 'name', facts: { other: namesake.name } });
  }
  const registered =
    content.registryNumber === ''
      ? undefined
      : shipped.find((one) => one.registryNumber === content.registryNumber);
  if (registered !== undefined) {
    const own = compositionOf(content.formula);
    const differs = own !== null && own !== compositionOf(registered.formula);
    doubts.push({
      code: differs ? 'own-registry-other-formula' : 'own-registry-in-library',
      where: 'registryNumber',
      facts: { other: registered.name, formula: registered.formula },
    });
  }
  const melts = parseEntered(entered(content.melting.from, '°C'), 'temperature', '');
  const boils = parseEntered(entered(content.boiling.from, '°C'), 'temperature', '');
  if (melts.ok && boils.ok && content.boiling.pressureKpa === '' && melts.value.value > boils.value.value) {
    doubts.push({ code: 'own-melts-above-boiling', where: 'boiling.from', facts: {} });
  }
  return doubts;
}

/** Two compounds of the department's own must not go by one name: nobody could tell them apart in a search. */
export const sameName = (one: string, other: string): boolean => squeezed(one) === squeezed(other);
