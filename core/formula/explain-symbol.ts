import type { Problem } from '../result.ts';
import { atomicWeights } from './atomic-weights.ts';

type Fault = (code: string, position: number, facts: Problem['facts']) => never;

const isElement = (symbol: string): boolean => atomicWeights.has(symbol) || symbol === 'D' || symbol === 'T';

/** `No` as nitrogen and oxygen, `NO`; empty where one of the letters is no element. */
export function asTwoElements(symbol: string): string {
  const [first = '', second = ''] = symbol.toUpperCase();
  return atomicWeights.has(first) && atomicWeights.has(second) ? first + second : '';
}

/** Short forms of groups that are common on paper and are not element symbols with a weight. */
const abbreviations: Readonly<Record<string, string>> = {
  Me: 'CH3',
  Et: 'C2H5',
  Bu: 'C4H9',
  Ph: 'C6H5',
  Bz: 'C7H5O',
  Bn: 'C7H7',
  Ac: 'C2H3O',
  Ar: 'C6H5',
};

/**
 * Says what is wrong with a symbol that cannot be read, and what was probably meant. Case is the
 * usual slip: `cu`, `CL`, `NACL`, `Hcl`.
 */
export function explainSymbol(text: string, position: number, end: number, fault: Fault): never {
  const letters = /^[A-Za-z]{1,3}/.exec(text.slice(position, end))?.[0] ?? '';
  const [first = '', second = ''] = letters;
  const pair = first.toUpperCase() + second.toLowerCase();
  const before = position > 0 ? text.charAt(position - 1) : '';

  if (/^[A-Z]$/.test(before) && /^[A-Z]/.test(first) && isElement(before + first.toLowerCase())) {
    // The second letter of a symbol in capitals: CL, NACL.
    fault('unknown-element', position, { symbol: first, suggestion: before + first.toLowerCase() });
  }
  const short = /^[A-Z][a-z]$/.test(first + second) ? first + second : '';
  if (Object.hasOwn(abbreviations, short) && !isElement(short)) {
    fault('group-abbreviation', position, { symbol: short, meaning: abbreviations[short] ?? '' });
  }
  const third = letters.charAt(2);
  if (/^[A-Z][a-z][a-z]/.test(letters) && isElement(first) && isElement(second.toUpperCase() + third)) {
    // Hcl, Agbr: the second symbol lost its capital.
    fault('unknown-element', position, {
      symbol: first + second,
      suggestion: first + second.toUpperCase() + third,
    });
  }
  if (/^[a-z]/.test(first) && isElement(pair) && second !== '') {
    fault('unknown-element', position, { symbol: first + second, suggestion: pair });
  }
  if (/^[a-z]/.test(first) && isElement(first.toUpperCase())) {
    fault('unknown-element', position, { symbol: first, suggestion: first.toUpperCase() });
  }
  if (/^[A-Z][a-z]/.test(letters) && isElement(first) && isElement(second.toUpperCase())) {
    fault('unknown-element', position, { symbol: first + second, suggestion: first + second.toUpperCase() });
  }
  if (/^[A-Z]{2}/.test(letters) && !isElement(first) && isElement(pair)) {
    // ZNO, MNO2: the capital alone is no element, with the next letter it is.
    fault('unknown-element', position, { symbol: first + second, suggestion: pair });
  }
  const symbol = /^[A-Z][a-z]?/.exec(letters)?.[0] ?? first;
  return fault('unknown-element', position, { symbol, suggestion: '' });
}

/**
 * Symbols that read as a rare element where the small letter was probably meant as a capital: `Co2`,
 * `Cs2`. Only where the whole formula is that symbol, because cobalt in a salt is cobalt.
 */
export function caseDoubts(text: string, start: number): readonly Problem[] {
  const match = /^(Co|Cs|Hf|Pb|Sn|Si|Sc|Os|Po|Np|In)([2-9]|[₂-₉])?$/.exec(text);
  if (match === null) return [];
  const [, symbol = '', count = ''] = match;
  // A metal on its own is an everyday reagent; only with a count, or where both are everyday, is it odd.
  if (count === '' && symbol !== 'Co' && symbol !== 'Hf') return [];
  return [
    {
      code: 'symbol-case-doubt',
      where: '',
      position: start,
      facts: {
        typed: text,
        other: symbol.toUpperCase() + count,
        name: atomicWeights.get(symbol)?.name ?? '',
      },
    },
  ];
}
