import { statementText } from '../../../core/compounds/ghs.ts';
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

/** Thin, and joined to what follows: a line breaks after a plain thin space. */
const thinSpace = '\u2009\u2060';
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

/** Step numbers as one would say them: `step 5`, `steps 5 and 8`, `steps 2, 5 and 8`. */
export function listed(numbers: readonly number[]): string {
  const last = numbers.at(-1);
  if (last === undefined) return '';
  if (numbers.length === 1) return `step ${last}`;
  return `steps ${numbers.slice(0, -1).join(', ')} and ${last}`;
}

/** Hazard statements in words with their codes; a code without known words stands by itself. */
export const hazardWords = (codes: readonly string[]): string =>
  codes
    .map((code) => {
      const words = statementText(code);
      return words === null ? code : `${words.replace(/\.$/, '')} (${code})`;
    })
    .join('; ');
