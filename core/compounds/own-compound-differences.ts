import type { OwnCompoundContent, OwnRange, OwnSourced, OwnValueAt } from './own-compound.ts';
import { incompatibilityGroups } from './incompatibility.ts';

/** One box that differs between two forms, in words and figures. */
export interface OwnCompoundChange {
  readonly path: string;
  readonly label: string;
  readonly old: string;
  readonly new: string;
}

type Box = readonly [path: string, label: string, text: string];

const withUnit = (text: string, unit: string): string =>
  text === '' || unit === '' ? text : `${text} ${unit}`;
const rangeText = ({ from, to }: OwnRange): string => withUnit(to === '' ? from : `${from} to ${to}`, '°C');
const valueText = ({ value, temperature }: OwnValueAt, unit: string): string =>
  value === ''
    ? ''
    : `${withUnit(value, unit)}${temperature === '' ? '' : ` at ${withUnit(temperature, '°C')}`}`;

const sourced = (path: string, label: string, text: string, { source, note }: OwnSourced): readonly Box[] => [
  [path, label, text],
  [`${path}.source`, `${label}, source`, source],
  [`${path}.note`, `${label}, note`, note],
];

/** Every box of a form that says something, in the order of the form. */
function boxesOf(content: OwnCompoundContent): readonly Box[] {
  const { melting, boiling, density, refractiveIndex, heatOfFusion, hazards, storage } = content;
  const pressure = boiling.pressureKpa === '' ? '' : ` at ${boiling.pressureKpa} kPa`;
  return [
    ['name', 'name', content.name],
    ['synonyms', 'other names', content.synonyms.join('; ')],
    ['family', 'family', content.family.replaceAll('-', ' ')],
    ['form', 'on the shelf', content.form],
    ['formula', 'formula', content.formula],
    ['smiles', 'structure', content.smiles],
    ['registryNumber', 'registry number', content.registryNumber],
    ...sourced('melting', 'melting point', rangeText(melting), melting),
    ...sourced('boiling', 'boiling point', `${rangeText(boiling)}${pressure}`, boiling),
    ...sourced('density', 'density', valueText(density, 'g/mL'), density),
    ...sourced('refractiveIndex', 'refractive index', valueText(refractiveIndex, ''), refractiveIndex),
    ...sourced('heatOfFusion', 'enthalpy of fusion', withUnit(heatOfFusion.value, 'kJ/mol'), heatOfFusion),
    ...content.acidities.flatMap((one, index) =>
      sourced(`acidities.${index}`, `acidity constant ${index + 1}`, valueText(one, ''), one),
    ),
    ...content.solubilities.flatMap((one, index) =>
      sourced(
        `solubilities.${index}`,
        `solubility in ${one.solvent}`,
        one.points.map((point) => `${point.solubility} g/L at ${point.temperature} °C`).join('; '),
        one,
      ),
    ),
    ...content.stockStrengths.flatMap((one, index) =>
      sourced(
        `stockStrengths.${index}`,
        `from the bottle, ${index + 1}`,
        `${one.percent} % w/w, ${valueText({ ...one, value: one.density }, 'g/mL')}`,
        one,
      ),
    ),
    ['hazards.signalWord', 'signal word', hazards.signalWord],
    ['hazards.pictograms', 'pictograms', hazards.pictograms.join(' ')],
    ['hazards.statements', 'hazard statements', hazards.statements.join(' ')],
    ['hazards.precautions', 'precautionary statements', hazards.precautions.join(' ')],
    ['hazards.source', 'classification, source', hazards.source],
    ['hazards.note', 'classification, note', hazards.note],
    ['storage.group', 'storage group', storage.group === '' ? '' : incompatibilityGroups[storage.group]],
    ['storage.text', 'keeping', storage.text],
    ['storage.source', 'keeping, source', storage.source],
  ];
}

/**
 * What differs between two forms, box by box, in the order of the form.
 *
 * @param before null for a compound that is new
 */
export function ownCompoundDifferences(
  before: OwnCompoundContent | null,
  after: OwnCompoundContent,
): readonly OwnCompoundChange[] {
  const old = new Map((before === null ? [] : boxesOf(before)).map((box) => [box[0], box]));
  const now = new Map(boxesOf(after).map((box) => [box[0], box]));
  return [...new Set([...now.keys(), ...old.keys()])].flatMap((path) => {
    const [oldText, newText] = [old.get(path)?.[2] ?? '', now.get(path)?.[2] ?? ''];
    if (oldText === newText) return [];
    const label = now.get(path)?.[1] ?? old.get(path)?.[1] ?? path;
    return [{ path, label, old: oldText, new: newText }];
  });
}
