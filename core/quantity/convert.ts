import type { Quantity } from './quantity.ts';
import { exponentOf } from './uncertainty.ts';
import type { Dimension, UnitSymbol } from './unit.ts';
import { units } from './unit.ts';

/** What a unit measures: mass for g, density for g/mL. */
export const dimensionOf = (unit: UnitSymbol): Dimension => units[unit].dimension;

/** 0 °C in kelvin, exact by definition of the Celsius scale. */
export const zeroCelsiusK = 273.15;

/** Number of `to` in one `from`; a whole number or its exact inverse is used where there is one. */
function scale(value: number, from: number, to: number): number {
  if (from >= to) return value * nearWhole(from / to);
  return value / nearWhole(to / from);
}

/** Factors such as 1 / 0.001 are whole numbers spoilt in the last bit. */
function nearWhole(ratio: number): number {
  const whole = Math.round(ratio);
  return Math.abs(ratio - whole) < 1e-9 * whole ? whole : ratio;
}

/**
 * The same quantity in another unit of its dimension; the uncertainty goes along. Figures stay,
 * except between °C and K, where the decimal place stays (25 °C is 298 K).
 *
 * @throws Error when the dimensions differ: a bug, since typed units pass `parseEntered` first
 */
export function convert(quantity: Quantity, unit: UnitSymbol): Quantity {
  if (quantity.unit === unit) return quantity;
  const from = units[quantity.unit];
  const to = units[unit];
  if (from.dimension !== to.dimension) throw new Error(`${quantity.unit} cannot become ${unit}`);
  if (from.dimension === 'temperature') return convertTemperature(quantity, unit);
  const u = quantity.standardUncertainty;
  return {
    value: scale(quantity.value, from.factor, to.factor),
    unit,
    standardUncertainty: u === null ? null : scale(u, from.factor, to.factor),
    significantFigures: quantity.significantFigures,
  };
}

function convertTemperature(quantity: Quantity, unit: UnitSymbol): Quantity {
  const value = unit === 'K' ? quantity.value + zeroCelsiusK : quantity.value - zeroCelsiusK;
  const figures = quantity.significantFigures;
  // 24.0 + 273.15 in binary ends in a stray digit; a ten-billionth of a kelvin is nothing.
  const clean = Math.round(value * 1e10) / 1e10;
  const place = figures === null ? 0 : exponentOf(quantity.value) - figures + 1;
  return {
    value: clean,
    unit,
    standardUncertainty: quantity.standardUncertainty,
    significantFigures: figures === null ? null : Math.max(1, exponentOf(clean) - place + 1),
  };
}
