import type { Entered } from '../../core/quantity/quantity.ts';
import type { Strength, Supply } from '../../core/reaction/table-types.ts';

export type SupplyKind = Supply['kind'];
export type StrengthKind = Strength['kind'];

export const supplyNames: Readonly<Record<SupplyKind, string>> = {
  solid: 'solid',
  'neat-liquid': 'neat liquid',
  solution: 'solution',
  gas: 'gas',
};

export const strengthNames: Readonly<Record<StrengthKind, string>> = {
  'amount-concentration': 'mol/L',
  'mass-fraction': '% w/w',
  'mass-per-volume': '% w/v',
  'volume-fraction': '% v/v',
  molality: 'mol/kg solvent',
  normality: 'normality (eq/L)',
  'parts-per-million': 'ppm by mass',
  'parts-by-volume': 'x : y with water',
  'oxygen-volumes': 'volumes of O₂',
};

const strengthUnits = {
  'amount-concentration': 'mol/L',
  'mass-fraction': '% w/w',
  'mass-per-volume': '% w/v',
  'volume-fraction': '% v/v',
  molality: 'mol/kg',
  normality: 'eq/L',
  'parts-per-million': 'ppm',
  'parts-by-volume': 'mol/L',
  'oxygen-volumes': 'vol',
} as const;

/** The same bottle in another form; density, assay and temperature carry over where the form has them. */
export function asKind(supply: Supply, kind: SupplyKind): Supply {
  if (supply.kind === kind) return supply;
  const assay = 'assay' in supply ? supply.assay : null;
  switch (kind) {
    case 'solid':
      return { kind, assay };
    case 'neat-liquid':
      return { kind, density: densityOf(supply), densityTemperature: null, assay };
    case 'solution':
      return { kind, strength: null };
    case 'gas':
      return { kind, temperature: null, pressure: null };
  }
}

function densityOf(supply: Supply): Entered | null {
  if (supply.kind === 'neat-liquid') return supply.density;
  return supply.kind === 'solution' ? (supply.strength?.density ?? null) : null;
}

const byMass: ReadonlySet<StrengthKind> = new Set(['mass-fraction', 'molality', 'parts-per-million']);

/**
 * The strength without what was left blank: a density that was typed and taken out again leaves the row
 * as it was, and an entry from before there were such boxes keeps its bytes.
 */
export const tidied = (strength: Strength): Strength =>
  Object.fromEntries(
    Object.entries(strength).filter(
      ([key, value]) =>
        value !== null ||
        !(key === 'densityTemperature' || (key === 'density' && !byMass.has(strength.kind))),
    ),
  ) as unknown as Strength;

/** Another reading of the label: the number stays, its unit becomes that of the new kind. */
export function asStrength(strength: Strength | null, kind: StrengthKind): Strength {
  if (strength?.kind === kind) return strength;
  const entered: Entered = { text: strength?.entered.text ?? '', unit: strengthUnits[kind] };
  const density = strength?.density ?? null;
  const densityTemperature = strength?.densityTemperature ?? null;
  const shared = { entered, density, densityTemperature };
  return tidied(readAs(kind, shared));
}

function readAs(
  kind: StrengthKind,
  shared: Required<Pick<Strength, 'entered' | 'density' | 'densityTemperature'>>,
): Strength {
  switch (kind) {
    case 'volume-fraction':
      return { kind, ...shared, neatDensity: null };
    case 'normality':
      return { kind, ...shared, equivalenceFactor: null };
    case 'parts-by-volume':
      return { kind, ...shared, stockParts: null, waterParts: null };
    case 'amount-concentration':
    case 'mass-fraction':
    case 'mass-per-volume':
    case 'molality':
    case 'parts-per-million':
    case 'oxygen-volumes':
      return { kind, ...shared };
  }
}

const shown = (entered: Entered | null): string =>
  entered === null || entered.text.trim() === ''
    ? ''
    : `${entered.text}\u202f${entered.unit.replaceAll(' ', '\u00a0')}`;

/** `1.082 g/mL at 20 °C` */
function dense(density: Entered | null, temperature: Entered | null): string {
  const at = shown(temperature);
  return shown(density) === '' ? '' : `${shown(density)}${at === '' ? '' : ` at\u00a0${at}`}`;
}

/** The bottle in a few words for the line under a name: `neat, 1.082 g/mL at 20 °C`. */
export function supplyText(supply: Supply): string {
  switch (supply.kind) {
    case 'solid':
      return supply.assay === null ? 'solid' : `solid, ${shown(supply.assay)}`;
    case 'neat-liquid': {
      return ['neat', dense(supply.density, supply.densityTemperature), shown(supply.assay)]
        .filter((part) => part !== '')
        .join(', ');
    }
    case 'solution': {
      if (supply.strength === null) return 'solution';
      const { strength } = supply;
      const parts =
        strength.kind === 'parts-by-volume'
          ? `${strength.stockParts?.text ?? '?'} : ${strength.waterParts?.text ?? '?'} of ${shown(strength.entered) || '?'} with water`
          : shown(strength.entered);
      return [`solution, ${parts}`, dense(strength.density ?? null, strength.densityTemperature ?? null)]
        .filter((part) => part !== '')
        .join(', ');
    }
    case 'gas':
      return ['gas', shown(supply.temperature), shown(supply.pressure)].filter((p) => p !== '').join(', ');
  }
}
