import type { Compound } from '../../../core/compounds/compound.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import { printed } from './library-words.ts';

/** One published value of a compound, ready to be set in a line. */
export interface Constant {
  readonly name: string;
  readonly value: string;
  /** Temperature, pressure: what the value belongs to; '' where nothing is said. */
  readonly at: string;
  readonly note: string;
  /** Key of a shipped source, or the department's own words. */
  readonly source: string;
}

/** One figure, or a range with its unit once. */
const rangeText = ({ value, to }: { readonly value: Entered; readonly to?: Entered }): string =>
  to === undefined ? printed(value) : `${value.text.replace('-', '−')}\u00a0to\u00a0${printed(to)}`;

const ordinal = ['first', 'second', 'third'];

/** The physical constants of a compound, in the order a handbook prints them. */
export function constantsOf(compound: Compound<string>): readonly Constant[] {
  const list: Constant[] = [];
  const add = (name: string, value: string, at: string, { note, source }: { note: string; source: string }) =>
    list.push({ name, value, at, note, source });
  const { meltingPoint, boilingPoint, density, refractiveIndex, heatOfFusion } = compound;
  if (meltingPoint !== null) add('Melting point', rangeText(meltingPoint), '', meltingPoint);
  if (boilingPoint !== null) {
    const { pressure } = boilingPoint;
    const at = pressure === null ? 'at 101.325\u2009kPa' : `at ${printed(pressure)}`;
    add('Boiling point', rangeText(boilingPoint), at, boilingPoint);
  }
  const temperature = (at: { readonly text: string; readonly unit: string } | null): string =>
    at === null ? '' : `at ${at.text.replace('-', '−')}\u2009${at.unit}`;
  if (density !== null) add('Density', printed(density.value), temperature(density.temperature), density);
  if (refractiveIndex !== null) {
    const at = temperature(refractiveIndex.temperature);
    add(
      'Refractive index',
      printed(refractiveIndex.value),
      `${at}${at === '' ? '' : ', '}sodium D line`,
      refractiveIndex,
    );
  }
  if (heatOfFusion !== null) add('Enthalpy of fusion', printed(heatOfFusion.value), '', heatOfFusion);
  const isOnly = compound.acidities.length === 1;
  for (const acidity of compound.acidities) {
    const step = isOnly ? '' : `${ordinal[acidity.step - 1] ?? `${acidity.step}th`} proton`;
    const at = [step, temperature(acidity.temperature)].filter((part) => part !== '').join(', ');
    add('p_{Ka}', printed(acidity.value), at, acidity);
  }
  for (const stock of compound.stockStrengths) {
    const at = `${printed(stock.density)}${stock.temperature === null ? '' : ` ${temperature(stock.temperature)}`}`;
    add('From the bottle', printed(stock.massFraction), at, stock);
  }
  return list;
}
