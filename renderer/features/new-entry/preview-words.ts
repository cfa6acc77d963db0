import type { Entered } from '../../../core/quantity/quantity.ts';
import type { RowRole } from '../../../core/reaction/table-types.ts';
import type { LiteratureValues } from '../../../core/record/content.ts';

/** What a row does, as it is written in a reagent table. */
export const roleInTable: Readonly<Record<RowRole, string>> = {
  reactant: 'reactant',
  reagent: 'reagent',
  catalyst: 'catalyst',
  solvent: 'solvent',
  'work-up': 'work-up',
  'drying-agent': 'drying agent',
  product: 'product',
  'by-product': 'by-product',
};

const thinSpace = '\u2009';
/** A quantity as it was typed, set with a real minus and a thin space. */
export const withUnit = (entered: Entered): string =>
  `${entered.text.replace('-', '−')}${entered.unit === '1' ? '' : `${thinSpace}${entered.unit}`}`;

export interface LiteratureLine {
  readonly label: string;
  readonly value: string;
  readonly source: string;
}

/** Published values of the product, as typed into the template, each with where it comes from. */
export function literatureLines(literature: LiteratureValues): readonly LiteratureLine[] {
  const lines: LiteratureLine[] = [];
  const { meltingRange, boilingPoint, refractiveIndex } = literature;
  if (meltingRange !== null) {
    const { from, to, source } = meltingRange;
    const value = to === null ? withUnit(from) : `${from.text} to ${withUnit(to)}`;
    lines.push({ label: 'melting range', value, source });
  }
  if (boilingPoint !== null) {
    const { value, pressure, source } = boilingPoint;
    const at = pressure === null ? '' : ` at ${withUnit(pressure)}`;
    lines.push({ label: 'boiling point', value: `${withUnit(value)}${at}`, source });
  }
  if (refractiveIndex !== null) {
    const { value, temperature, source } = refractiveIndex;
    lines.push({
      label: 'refractive index',
      value: `${value.text} at ${withUnit(temperature)}`,
      source,
    });
  }
  return lines;
}
