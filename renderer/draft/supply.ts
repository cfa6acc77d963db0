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
  const strength = supply.kind === 'solution' ? supply.strength : null;
  return strength !== null && 'density' in strength ? strength.density : null;
}

/** Another reading of the label: the number stays, its unit becomes that of the new kind. */
export function asStrength(strength: Strength | null, kind: StrengthKind): Strength {
  if (strength?.kind === kind) return strength;
  const entered: Entered = { text: strength?.entered.text ?? '', unit: strengthUnits[kind] };
  const density = strength !== null && 'density' in strength ? strength.density : null;
  switch (kind) {
    case 'mass-fraction':
      return { kind, entered, density };
    case 'molality':
      return { kind, entered, density };
    case 'parts-per-million':
      return { kind, entered, density };
    case 'volume-fraction':
      return { kind, entered, neatDensity: null };
    case 'normality':
      return { kind, entered, equivalenceFactor: null };
    case 'parts-by-volume':
      return { kind, entered, stockParts: null, waterParts: null };
    case 'amount-concentration':
      return { kind, entered };
    case 'mass-per-volume':
      return { kind, entered };
    case 'oxygen-volumes':
      return { kind, entered };
  }
}

const shown = (entered: Entered | null): string =>
  entered === null || entered.text.trim() === ''
    ? ''
    : `${entered.text}\u202f${entered.unit.replaceAll(' ', '\u00a0')}`;

/** The bottle in a few words for the line under a name: `neat, 1.082 g/mL at 20 °C`. */
export function supplyText(supply: Supply): string {
  switch (supply.kind) {
    case 'solid':
      return supply.assay === null ? 'solid' : `solid, ${shown(supply.assay)}`;
    case 'neat-liquid': {
      const density = shown(supply.density);
      const at = shown(supply.densityTemperature);
      const assay = shown(supply.assay);
      return ['neat', density === '' ? '' : `${density}${at === '' ? '' : ` at\u00a0${at}`}`, assay]
        .filter((part) => part !== '')
        .join(', ');
    }
    case 'solution': {
      if (supply.strength === null) return 'solution';
      if (supply.strength.kind === 'parts-by-volume') {
        const { entered, stockParts, waterParts } = supply.strength;
        const parts = `${stockParts?.text ?? '?'} : ${waterParts?.text ?? '?'}`;
        return `solution, ${parts} of ${shown(entered) || '?'} with water`;
      }
      const density = 'density' in supply.strength ? shown(supply.strength.density) : '';
      return [`solution, ${shown(supply.strength.entered)}`, density]
        .filter((part) => part !== '')
        .join(', ');
    }
    case 'gas':
      return ['gas', shown(supply.temperature), shown(supply.pressure)].filter((p) => p !== '').join(', ');
  }
}
