import type { Problem } from '../result.ts';
import type { ElementCount, Formula } from './formula.ts';
import { hillFormula } from './hill.ts';
import type { StructureComposition } from './structure-composition.ts';

/** A composition in Hill order with its charge: `C2O4^2−` is `C2O4, charge 2−`. */
function written(elements: readonly ElementCount[], charge: number): string {
  const formula = hillFormula({ elements } as Formula);
  if (charge === 0) return formula;
  return `${formula}, charge ${Math.abs(charge)}${charge > 0 ? '+' : '−'}`;
}

/** The formula of a structure in Hill order, to be typed for the student; the charge is left out. */
export const structureFormula = ({ elements }: StructureComposition): string =>
  hillFormula({ elements } as Formula)
    .replaceAll('[2H]', 'D')
    .replaceAll('[3H]', 'T');

interface Gap {
  readonly what: string;
  readonly typed: number;
  readonly drawn: number;
}

const keyOf = ({ element, massNumber }: ElementCount): string =>
  massNumber === null ? element : `[${massNumber}${element}]`;

function gapsBetween(typed: readonly ElementCount[], drawn: readonly ElementCount[]): readonly Gap[] {
  const keys = [...new Set([...typed, ...drawn].map(keyOf))];
  const countIn = (list: readonly ElementCount[], key: string): number =>
    list.find((one) => keyOf(one) === key)?.count ?? 0;
  return keys
    .map((what) => ({ what, typed: countIn(typed, what), drawn: countIn(drawn, what) }))
    .filter(({ typed: a, drawn: b }) => a !== b);
}

/** A hydrate whose water is not drawn: what the formula has more is whole waters, and it names them apart. */
function isUndrawnWater({ text }: Formula, gaps: readonly Gap[]): boolean {
  if (!/[·.•*]/u.test(text)) return false;
  const more = (what: string): number => {
    const gap = gaps.find((one) => one.what === what);
    return gap === undefined ? 0 : gap.typed - gap.drawn;
  };
  return gaps.length === 2 && more('O') > 0 && more('H') === 2 * more('O');
}

/**
 * Holds a typed formula against the structure that stands beside it.
 *
 * Water of crystallisation may be left out of the structure; everything else has to be there.
 *
 * @param structure what a structure library counted in the SMILES or molfile
 * @returns null when they agree, else what is wrong with both in its facts
 * @error formula-contradicts-structure (facts: typed, structure, by)
 */
export function againstStructure(formula: Formula, structure: StructureComposition): Problem | null {
  const gaps = gapsBetween(formula.elements, structure.elements);
  const isChargeEqual = formula.charge === structure.charge;
  if (isChargeEqual && (gaps.length === 0 || isUndrawnWater(formula, gaps))) return null;
  const by = [
    ...gaps.map(({ what, typed, drawn }) => `${what} ${typed} typed, ${drawn} drawn`),
    ...(isChargeEqual ? [] : [`charge ${signed(formula.charge)} typed, ${signed(structure.charge)} drawn`]),
  ].join('; ');
  const facts = {
    typed: written(formula.elements, formula.charge),
    structure: written(structure.elements, structure.charge),
    by,
  };
  return { code: 'formula-contradicts-structure', where: '', facts };
}

const signed = (charge: number): string =>
  charge === 0 ? '0' : `${Math.abs(charge)}${charge > 0 ? '+' : '−'}`;
