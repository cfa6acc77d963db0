import { instrumentById } from '../quantity/instruments.ts';
import type { Entered } from '../quantity/quantity.ts';
import type {
  DropSize,
  EarlierStage,
  Measure,
  RowOrigin,
  RowRole,
  Strength,
  Supply,
} from '../reaction/table-types.ts';
import { canonicalise } from './canonical.ts';
import type { StepLimit, TimeMark, Worksheet } from './content.ts';
import { whenText } from './when.ts';

/** As a person would write it: `4.50 g`, `1.05`, `2 eq`. */
export function enteredText(entered: Entered | null): string {
  if (entered === null || entered.text.trim() === '') return '';
  if (entered.unit === '1') return entered.text;
  return `${entered.text} ${entered.unit === 'Δ°C' ? '°C' : entered.unit}`;
}

export function rangeText(from: Entered | null, to: Entered | null): string {
  const low = enteredText(from);
  const high = enteredText(to);
  if (low !== '' && high !== '') {
    return from?.unit === to?.unit ? `${from?.text ?? ''} to ${high}` : `${low} to ${high}`;
  }
  if (low !== '') return `from ${low}`;
  return high === '' ? '' : `up to ${high}`;
}

export function markText(mark: TimeMark | null): string {
  if (mark === null) return '';
  const seen = whenText(mark.at, mark.offsetMinutes);
  if (mark.correction === null) return seen;
  const corrected = whenText(mark.correction.at, mark.offsetMinutes);
  return `${corrected}, corrected from ${seen}: ${mark.correction.reason}`;
}

export function strengthText(strength: Strength | null): string {
  if (strength === null) return '';
  const parts = [enteredText(strength.entered)];
  if (strength.kind === 'parts-by-volume') {
    const [stock, water] = [enteredText(strength.stockParts), enteredText(strength.waterParts)];
    const mixed = [`${stock || '?'} : ${water || '?'} by volume`, parts[0] && `of ${parts[0]} with water`];
    parts[0] = mixed.filter(Boolean).join(' ');
  } else if (strength.kind === 'normality') {
    parts.push(`factor ${enteredText(strength.equivalenceFactor)}`);
  } else if (strength.kind === 'volume-fraction') {
    parts.push(`density of the pure liquid ${enteredText(strength.neatDensity)}`);
  }
  const density = enteredText(strength.density ?? null);
  const at = enteredText(strength.densityTemperature ?? null);
  const of = strength.kind === 'volume-fraction' ? 'of the mixture ' : '';
  if (density !== '') parts.push(`density ${of}${density}${at === '' ? '' : ` at ${at}`}`);
  return parts.filter((part) => !/ $/.test(part)).join(', ');
}

export function supplyText(supply: Supply): string {
  switch (supply.kind) {
    case 'solid':
      return ['solid', supply.assay && `assay ${enteredText(supply.assay)}`].filter(Boolean).join(', ');
    case 'neat-liquid':
      return [
        'neat liquid',
        supply.density && `density ${enteredText(supply.density)}`,
        supply.densityTemperature && `at ${enteredText(supply.densityTemperature)}`,
        supply.assay && `assay ${enteredText(supply.assay)}`,
      ]
        .filter(Boolean)
        .join(', ');
    case 'solution':
      return ['solution', strengthText(supply.strength)].filter(Boolean).join(', ');
    case 'gas':
      return [
        'gas',
        supply.temperature && `at ${enteredText(supply.temperature)}`,
        supply.pressure && enteredText(supply.pressure),
      ]
        .filter(Boolean)
        .join(', ');
  }
}

/** "entry 2, methyl benzoate; 3.12 g; yield 82.1 ± 0.9 %", and what came before it. */
export function originText(origin: RowOrigin | null): string {
  if (origin === null) return '';
  const lines = origin.lines.map((line) => `before it ${line.map(stageText).join(', ')}`);
  return [stageText(origin), enteredText(origin.mass), ...lines].filter((part) => part !== '').join('; ');
}

function stageText(stage: EarlierStage): string {
  const name = stage.title === '' ? '' : ` (${stage.title})`;
  const spread = stage.yieldUncertainty === null ? '' : ` ± ${enteredText(stage.yieldUncertainty)}`;
  const share = stage.yield === null ? '' : `, yield ${enteredText(stage.yield)}${spread}`;
  return `entry ${stage.entryNumber}${name}${share}`;
}

/** "20 drops make 1.0 mL ± 0.3 mL, counted ± 1 drop": the size of counted drops. */
export function dropText({ drops, make, uncertainty, countUncertainty }: DropSize): string {
  const limit = enteredText(uncertainty);
  const size = `${enteredText(drops) || '? drops'} make ${enteredText(make) || '?'}${limit && ` ± ${limit}`}`;
  return `${size}, counted ± ${enteredText(countUncertainty) || '1 drop'}`;
}

/**
 * What was measured with, by name; the series of a standard is named too, since two series share names.
 * An id that is not in the list is set as it stands.
 */
export function instrumentText(id: string): string {
  const known = instrumentById(id);
  if (known === null) return id.replaceAll('-', ' ');
  const series = /-(iso|astm|usp)-/.exec(id)?.[1];
  return series === undefined ? known.name : `${known.name} (${series.toUpperCase()})`;
}

export const measureText = (measure: Measure | null): string =>
  measure === null
    ? ''
    : [
        enteredText(measure.entered),
        measure.instrument && `with ${instrumentText(measure.instrument)}`,
        measure.drop && dropText(measure.drop),
      ]
        .filter(Boolean)
        .join(', ');

export const roleText: Readonly<Record<RowRole, string>> = {
  reactant: 'reactant',
  reagent: 'reagent',
  catalyst: 'catalyst',
  solvent: 'solvent',
  'work-up': 'work-up',
  'drying-agent': 'drying agent',
  product: 'product',
  'by-product': 'by-product',
};

export const limitLabel: Readonly<Record<StepLimit['kind'], string>> = {
  temperature: 'temperature',
  duration: 'duration',
  'addition-rate': 'rate of addition',
};

export function inputText(input: Worksheet['inputs'][string]): string {
  if (typeof input === 'string') return input;
  if (!isSeries(input)) return enteredText(input);
  return input
    .map((line) =>
      Object.entries(line)
        .map(([key, value]) => `${key} ${typeof value === 'string' ? value : enteredText(value)}`)
        .join(', '),
    )
    .join('; ');
}
const isSeries = (
  input: Exclude<Worksheet['inputs'][string], string>,
): input is Extract<Worksheet['inputs'][string], readonly unknown[]> => Array.isArray(input);

/** A value as one text that differs whenever it does; '' for nothing. */
export function comparable(value: unknown): string {
  if (value === null || value === undefined) return '';
  const text = canonicalise(value);
  // What cannot be stored cannot be in a saved entry either.
  return text.ok ? text.value : '';
}

/** `mass 4.1, lines 1 title Benzoic acid`: every value in it with the words that lead there. */
export function leaves(value: unknown, path = ''): string {
  if (value === null || value === undefined || value === '') return '';
  if (typeof value !== 'object')
    return `${path} ${typeof value === 'string' ? value : JSON.stringify(value)}`.trim();
  const isList = Array.isArray(value);
  return Object.entries(value)
    .map(([key, member]) => leaves(member, `${path} ${isList ? Number(key) + 1 : key}`.trim()))
    .filter((part) => part !== '')
    .join(', ');
}
