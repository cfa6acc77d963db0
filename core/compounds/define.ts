import type { Entered } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type {
  Acidity,
  Compound,
  Hazards,
  Published,
  PublishedAt,
  Solubility,
  StockStrength,
  Storage,
} from './compound.ts';
import type { SourceKey } from './sources.ts';

/** Digits as printed; `at` is the temperature in °C as printed. */
type Value = readonly [digits: string, source: SourceKey, note?: string];
type ValueAt = readonly [digits: string, at: string | null, source: SourceKey, note?: string];

/**
 * A compound as the data files write it: units are fixed by the field (°C, g/mL, kJ/mol, g/L), so that
 * a line holds nothing but what the source printed.
 */
export interface CompoundData extends Pick<
  Compound,
  'id' | 'name' | 'family' | 'formula' | 'smiles' | 'registryNumber' | 'form'
> {
  readonly synonyms?: readonly string[];
  /** °C. */
  readonly melting?: Value;
  /** °C at normal pressure unless `boilingKpa` is given. */
  readonly boiling?: Value;
  readonly boilingKpa?: string;
  /** g/mL at °C. */
  readonly density?: ValueAt;
  /** Sodium D line at °C. */
  readonly index?: ValueAt;
  /** kJ/mol. */
  readonly fusion?: Value;
  /** Solvent, pairs of °C and g/L (or % w/w of the saturated solution), source. */
  readonly solubility?: readonly (readonly [
    solvent: string,
    points: readonly (readonly [at: string, dissolved: string])[],
    source: SourceKey,
    note?: string,
    unit?: 'g/L' | '% w/w',
  ])[];
  /** pKa in order of the steps, each at °C. */
  readonly acidity?: readonly ValueAt[];
  /** % w/w, g/mL, °C or null, source. */
  readonly stock?: readonly (readonly [
    percent: string,
    density: string,
    at: string | null,
    source: SourceKey,
    note?: string,
  ])[];
  readonly hazards?: Omit<Hazards, 'note' | 'precautions'> & Partial<Pick<Hazards, 'note' | 'precautions'>>;
  readonly storage?: Storage;
}

const entered = (text: string, unit: UnitSymbol): Entered => ({ text, unit });
const celsius = (text: string): Entered => entered(text, '°C');

const published = ([digits, source, note]: Value, unit: UnitSymbol): Published => ({
  value: entered(digits, unit),
  source,
  note: note ?? '',
});
const publishedAt = ([digits, at, source, note]: ValueAt, unit: UnitSymbol): PublishedAt => ({
  value: entered(digits, unit),
  temperature: at === null ? null : celsius(at),
  source,
  note: note ?? '',
});
const orNull = <T, R>(value: T | undefined, make: (value: T) => R): R | null =>
  value === undefined ? null : make(value);

/** Writes a data line out into the library's shape. */
export function defineCompound(data: CompoundData): Compound {
  const solubilities = (data.solubility ?? []).map(([solvent, points, source, note, unit]): Solubility => ({
    solvent,
    points: points.map(([at, solubility]) => ({
      temperature: celsius(at),
      solubility: entered(solubility, unit ?? 'g/L'),
    })),
    source,
    note: note ?? '',
  }));
  const acidities = (data.acidity ?? []).map((value, index): Acidity => ({
    ...publishedAt(value, '1'),
    step: index + 1,
  }));
  const stockStrengths = (data.stock ?? []).map(([percent, density, at, source, note]): StockStrength => ({
    massFraction: entered(percent, '% w/w'),
    density: entered(density, 'g/mL'),
    temperature: at === null ? null : celsius(at),
    source,
    note: note ?? '',
  }));
  return {
    id: data.id,
    name: data.name,
    synonyms: data.synonyms ?? [],
    family: data.family,
    formula: data.formula,
    smiles: data.smiles,
    registryNumber: data.registryNumber,
    form: data.form,
    meltingPoint: orNull(data.melting, (value) => published(value, '°C')),
    boilingPoint: orNull(data.boiling, (value) => ({
      ...published(value, '°C'),
      pressure: orNull(data.boilingKpa, (kpa) => entered(kpa, 'kPa')),
    })),
    density: orNull(data.density, (value) => publishedAt(value, 'g/mL')),
    refractiveIndex: orNull(data.index, (value) => publishedAt(value, '1')),
    heatOfFusion: orNull(data.fusion, (value) => published(value, 'kJ/mol')),
    solubilities,
    acidities,
    stockStrengths,
    hazards: orNull(data.hazards, (hazards) => ({
      ...hazards,
      note: hazards.note ?? '',
      precautions: hazards.precautions ?? [],
    })),
    storage: data.storage ?? null,
  };
}
