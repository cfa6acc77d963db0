import { units, type Dimension, type UnitSymbol } from '../../core/quantity/unit.ts';
import type { Entered } from '../../core/quantity/quantity.ts';

/** Other spellings that a keyboard gives for a unit. */
const spellings: Readonly<Record<string, UnitSymbol>> = {
  ml: 'mL',
  l: 'L',
  ul: 'µL',
  μl: 'µL',
  µl: 'µL',
  umol: 'µmol',
  μmol: 'µmol',
  'mg/ml': 'g/L',
  'g/ml': 'g/mL',
  'g/cm3': 'g/mL',
  'g/cm³': 'g/mL',
  'g/l': 'g/L',
  'kg/m3': 'kg/m³',
  'mol/l': 'mol/L',
  'mmol/l': 'mmol/L',
  C: '°C',
  '° C': '°C',
  oC: '°C',
  k: 'K',
  drop: 'drops',
  gtt: 'drops',
  sec: 's',
  mins: 'min',
  minutes: 'min',
  hours: 'h',
  equiv: 'eq',
  'eq.': 'eq',
  'mol%': 'mol %',
  'ml/min': 'mL/min',
  cm3: 'mL',
  'cm³': 'mL',
};

/** Units of the given dimensions, in the order a person expects them. */
export function unitsOf(...dimensions: readonly Dimension[]): readonly UnitSymbol[] {
  return (Object.keys(units) as UnitSymbol[]).filter((unit) => dimensions.includes(units[unit].dimension));
}

/**
 * What was typed into a box that has a unit: a unit written behind the number is taken as the unit
 * when it fits the box (`2500 mg` in a box of grams); anything else stays in the text, where the
 * parser names the fault. An empty box is null.
 */
export function readTyped(text: string, unit: UnitSymbol, allowed: readonly UnitSymbol[]): Entered | null {
  if (text.trim() === '') return null;
  const match =
    /^(\s*[-−+]?[\d.,\s]*\d\.?(?:\s*[×x*]\s*10\^?[-−]?\d+|[eE][-−+]?\d+)?)\s*([^\d\s.,].*)$/u.exec(text);
  const tail = match?.[2]?.trim();
  if (match?.[1] !== undefined && tail !== undefined) {
    const found = spellings[tail] ?? (tail in units ? (tail as UnitSymbol) : undefined);
    if (found !== undefined && allowed.includes(found)) return { text: match[1].trim(), unit: found };
  }
  return { text, unit };
}
