import type { Compound } from '../../../core/compounds/compound.ts';
import type { OwnCompoundView } from '../../../core/contract/own-compound-schema.ts';
import { printedUnit } from '../../../core/quantity/format.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import { sourceText } from '../../client/compound-book.svelte.ts';

export const familyWords: Readonly<Record<Compound['family'], string>> = {
  hydrocarbon: 'hydrocarbon',
  halide: 'halide',
  alcohol: 'alcohol',
  phenol: 'phenol',
  ether: 'ether',
  'aldehyde-or-ketone': 'aldehyde or ketone',
  'carboxylic-acid': 'carboxylic acid',
  'acid-derivative': 'acid derivative',
  amine: 'amine',
  amide: 'amide',
  'nitrogen-compound': 'nitrogen compound',
  'sulfur-or-phosphorus-compound': 'sulfur or phosphorus compound',
  'natural-product': 'natural product',
  'indicator-or-dye': 'indicator or dye',
  solvent: 'solvent',
  acid: 'acid',
  base: 'base',
  salt: 'salt',
  oxidant: 'oxidant',
  reductant: 'reductant',
  'metal-compound': 'metal compound',
  element: 'element',
  'drying-agent': 'drying agent',
};

export const formWords: Readonly<Record<Compound['form'], string>> = {
  solid: 'solid at 20\u202f°C',
  liquid: 'liquid at 20\u202f°C',
  gas: 'gas at 20\u202f°C',
  solution: 'sold as a solution',
};

/** A published figure as it is printed: real minus, thin space. */
export function printed({ text, unit }: Entered): string {
  const symbol = printedUnit(unit);
  const number = text.replace('-', '−');
  return symbol === '' ? number : `${number}\u2009${symbol}`;
}

/** Nobody has held these against a print for this library. */
export const isUnchecked = (source: string): boolean => source === 'memory' || source.endsWith('-memory');

/** The sources of a page, each under one letter, in the order they are first named. */
export class Footnotes {
  readonly #keys: string[] = [];
  readonly #own: OwnCompoundView | null;

  /** @param own the form of the department's own compound whose sources are meant; null for the library's */
  constructor(own: OwnCompoundView | null = null) {
    this.#own = own;
  }

  letter(source: string): string {
    const known = this.#keys.indexOf(source);
    const at = known >= 0 ? known : this.#keys.push(source) - 1;
    return String.fromCharCode(97 + at);
  }

  get list(): readonly { readonly letter: string; readonly text: string }[] {
    return this.#keys.map((key, at) => ({
      letter: String.fromCharCode(97 + at),
      text: sourceText(key, this.#own),
    }));
  }
}

/** Where a name belongs in the alphabet: `2-naphthol` under N, `n-butanol` under B. */
export function initialOf(name: string): string {
  const letters = name.replace(/^(?:[\d,'α-ωDL±()[\]-]|[a-z]{1,4}-(?=[a-z])|[NO],?(?:[NO])?-)+/u, '');
  return (/\p{L}/u.exec(letters)?.[0] ?? name.charAt(0)).toUpperCase();
}
