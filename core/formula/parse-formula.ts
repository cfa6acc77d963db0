import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { atomicWeights } from './atomic-weights.ts';
import { asTwoElements, caseDoubts, explainSymbol } from './explain-symbol.ts';
import type { ElementCount, Formula } from './formula.ts';
import { isotopeMass } from './isotopes.ts';
import { greatestCommonDivisor, typedFraction, typedFractionPattern } from './typed-fraction.ts';
import type { Rational } from './typed-fraction.ts';

const longestFormula = 300;
const deepestNesting = 12;
/** Enough for any molecule of the teaching laboratory, and far inside exact integers. */
const mostAtoms = 1_000_000;
/** Denominator of one hydrate number (four decimals) and of all together: atom counts stay exact integers. */
const mostHydrateParts = 10_000;
const mostDenominator = 100_000_000;
const single: Rational = { numerator: 1, denominator: 1 };

const closing: Readonly<Record<string, string>> = { '(': ')', '[': ']', '{': '}' };
/** Middle dots U+00B7, U+22C5, U+2022, the asterisk and, before a number or a formula, the full stop. */
const dots = '·⋅•*.';
const subscripts = '₀₁₂₃₄₅₆₇₈₉';
const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';
class FormulaFault extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.code);
    this.problem = problem;
  }
}

const isBetween = (code: number, first: string, last: string): boolean =>
  code >= first.charCodeAt(0) && code <= last.charCodeAt(0);

/** Atoms by key `13C`, `C`; plain maps because a formula has a handful of elements. */
type Atoms = Map<string, ElementCount>;
const keyOf = (element: string, massNumber: number | null): string =>
  massNumber === null ? element : `${massNumber}${element}`;

class FormulaReader {
  private readonly text: string;
  private at = 0;
  private readonly end: number;
  private markup = '';
  private charge = 0;
  private hasCharge = false;

  constructor(text: string) {
    this.text = text;
    this.end = text.trimEnd().length;
    this.at = text.length - text.trimStart().length;
  }

  read(): Formula {
    const start = this.at;
    if (start >= this.end) this.fault('formula-missing', 0);
    if (this.end - start > longestFormula)
      this.fault('formula-too-long', start + longestFormula, { longest: longestFormula });
    const total: Atoms = new Map();
    let denominator = 1;
    let isFirst = true;
    for (;;) {
      let multiplier: Rational = single;
      if (!isFirst) multiplier = this.hydrateNumber();
      const partStart = this.at;
      const part = this.group('', 0);
      if (part.size === 0) this.faultAtEmptyPart(partStart, isFirst);
      this.readCharge();
      denominator = addPart(total, part, multiplier, denominator, () =>
        this.fault('formula-too-large', partStart),
      );
      isFirst = false;
      if (!this.hydrateDot()) break;
    }
    if (this.at < this.end) this.faultAtStray();
    const elements = [...total.values()].map((one) => ({ ...one, count: one.atoms / denominator }));
    const text = this.text.slice(start, this.end);
    return {
      text,
      elements,
      denominator,
      charge: this.charge,
      markup: this.markup,
      doubts: caseDoubts(text, start),
    };
  }

  private fault(code: string, position: number, facts: Problem['facts'] = {}): never {
    // An empty text has no inside; its beginning is the nearest.
    const inside = Math.max(0, Math.min(position, this.text.length - 1));
    throw new FormulaFault({ code, where: '', position: inside, facts });
  }

  private character(offset = 0): string {
    const at = this.at + offset;
    return at < this.end ? this.text.charAt(at) : '';
  }

  /** The character a person sees, whole: an emoji is two code units. */
  private seen(position: number): string {
    return String.fromCodePoint(this.text.codePointAt(position) ?? 0);
  }

  private blanks(): void {
    while (this.at < this.end && /\s/.test(this.character())) this.at += 1;
  }

  /** Units up to the closing bracket (or the end of the part); the bracket itself is the caller's. */
  private group(until: string, depth: number): Atoms {
    const atoms: Atoms = new Map();
    for (;;) {
      const one = this.character();
      if (one === '' || one === until) return atoms;
      if (Object.hasOwn(closing, one)) this.bracket(atoms, one, depth);
      else if (isBetween(one.charCodeAt(0), 'A', 'Z')) this.symbol(atoms, null);
      else if (superscripts.includes(one) && this.isRaisedMassNumber()) this.raisedIsotope(atoms);
      else if (/[a-z]/.test(one))
        explainSymbol(this.text, this.at, this.end, (code, at, facts) => this.fault(code, at, facts));
      else return atoms;
    }
  }

  private bracket(atoms: Atoms, open: string, depth: number): void {
    const position = this.at;
    if (depth >= deepestNesting) this.fault('formula-too-deep', position, { deepest: deepestNesting });
    const close = closing[open] ?? '';
    const isotope =
      open === '[' ? /^\[(\d{1,3})([A-Z][a-z]?)\]/.exec(this.text.slice(this.at, this.end)) : null;
    if (isotope !== null) {
      this.at += 1 + (isotope[1] ?? '').length;
      this.symbol(atoms, Number(isotope[1]), true);
      return;
    }
    this.at += 1;
    this.markup += open;
    const inner = this.group(close, depth + 1);
    const found = this.character();
    if (found !== close) {
      if (found === '') this.fault('bracket-not-closed', position, { bracket: open });
      if (found === '^' || '⁺⁻'.includes(found)) this.fault('charge-inside-bracket', this.at);
      if (')]}'.includes(found)) this.fault('bracket-mismatch', this.at, { found, expected: close });
      this.faultAtStray();
    }
    if (inner.size === 0) this.fault('bracket-empty', position, { bracket: open + close });
    this.at += 1;
    this.markup += close;
    const count = this.subscript();
    for (const one of inner.values())
      this.add(atoms, one.element, one.massNumber, one.atoms * count, position);
  }

  private symbol(atoms: Atoms, massNumber: number | null, isBracketed = false): void {
    const position = this.at;
    const isPair = position + 1 < this.end && isBetween(this.text.charCodeAt(position + 1), 'a', 'z');
    const symbol = this.text.slice(position, position + (isPair ? 2 : 1));
    let element = symbol;
    let mass = massNumber;
    if (massNumber === null && (symbol === 'D' || symbol === 'T')) {
      element = 'H';
      mass = symbol === 'D' ? 2 : 3;
    }
    const known = atomicWeights.get(element);
    if (known === undefined)
      explainSymbol(this.text, position, this.end, (code, at, facts) => this.fault(code, at, facts));
    if (mass !== null && isotopeMass(element, mass) === null) {
      this.fault('isotope-unknown', position, { isotope: `${mass}${element}` });
    }
    if (mass === null && known?.weight === null) {
      this.fault('no-standard-atomic-weight', position, {
        symbol: element,
        name: known.name,
        suggestion: asTwoElements(element),
      });
    }
    this.at += symbol.length;
    this.markup += massNumber === null ? symbol : `^{${massNumber}}${symbol}`;
    if (isBracketed) this.at += 1;
    this.add(atoms, element, mass, this.subscript(), position);
  }

  private isRaisedMassNumber(): boolean {
    let offset = 0;
    while (this.character(offset) !== '' && superscripts.includes(this.character(offset))) offset += 1;
    return /[A-Z]/.test(this.character(offset));
  }

  private raisedIsotope(atoms: Atoms): void {
    let digits = '';
    while (superscripts.includes(this.character())) {
      digits += superscripts.indexOf(this.character());
      this.at += 1;
    }
    this.symbol(atoms, Number(digits));
  }

  private add(
    atoms: Atoms,
    element: string,
    massNumber: number | null,
    count: number,
    position: number,
  ): void {
    const key = keyOf(element, massNumber);
    const sum = (atoms.get(key)?.atoms ?? 0) + count;
    if (sum > mostAtoms) this.fault('formula-too-large', position, { mostAtoms });
    atoms.set(key, { element, massNumber, count: sum, atoms: sum });
  }

  /** Count after a symbol or bracket: plain or subscript digits, also `_2` and `_{2}`; 1 when none. */
  private subscript(): number {
    const start = this.at;
    // Most symbols carry plain digits or none; only the rest is worth a closer look.
    while (this.at < this.end && isBetween(this.text.charCodeAt(this.at), '0', '9')) this.at += 1;
    if (this.at > start) return this.count(this.text.slice(start, this.at), start);
    const one = this.character();
    if (one !== '_' && (one === '' || !subscripts.includes(one))) return 1;
    const rest = this.text.slice(this.at, this.end);
    const match = /^(?:_\{(\d+)\}|_(\d+)|([₀-₉]+))/.exec(rest);
    if (match === null) this.fault('formula-stray', this.at, { typed: '_' });
    const digits =
      match[1] ?? match[2] ?? [...(match[3] ?? '')].map((digit) => subscripts.indexOf(digit)).join('');
    this.at += match[0].length;
    return this.count(digits, start);
  }

  private count(digits: string, start: number): number {
    if (digits.length > 7) this.fault('formula-too-large', start, { mostAtoms });
    const value = Number(digits);
    // `Fe0.95O`: the full stop would begin a hydrate, and a count of zero is none.
    if (value === 0) this.fault('count-zero', start);
    this.markup += `_{${value}}`;
    return value;
  }

  /** `^2-`, `^-`, `^{2-}`, `²⁻`, `⁻`. */
  private readCharge(): void {
    const rest = this.text.slice(this.at, this.end);
    const match = /^(?:\^\{(\d{0,2})([-+−])\}|\^(\d{0,2})([-+−])|([⁰¹²³⁴⁵⁶⁷⁸⁹]{0,2})([⁺⁻]))/.exec(rest);
    if (match === null) {
      if (rest.startsWith('^')) this.fault('charge-unreadable', this.at);
      return;
    }
    const digits =
      match[1] ?? match[3] ?? [...(match[5] ?? '')].map((one) => superscripts.indexOf(one)).join('');
    const sign = match[2] ?? match[4] ?? match[6] ?? '+';
    const size = digits === '' ? 1 : Number(digits);
    if (size === 0) this.fault('charge-unreadable', this.at);
    if (this.hasCharge) this.fault('charge-twice', this.at);
    this.hasCharge = true;
    const isNegative = sign !== '+' && sign !== '⁺';
    this.charge += isNegative ? -size : size;
    this.markup += `^{${size === 1 ? '' : size}${isNegative ? '−' : '+'}}`;
    this.at += match[0].length;
  }

  /** Steps over a hydrate dot with the blanks around it; a blank alone is no dot. */
  private hydrateDot(): boolean {
    const before = this.at;
    this.blanks();
    const one = this.character();
    if (one === '' || !dots.includes(one)) {
      this.at = before;
      return false;
    }
    const position = this.at;
    this.at += 1;
    this.blanks();
    if (this.at >= this.end) this.fault('hydrate-missing', position);
    this.markup += '·';
    return true;
  }

  /** Number before a hydrate's formula: `5`, `2.5`, `1/2`, `½`, `1½`; 1 when none. */
  private hydrateNumber(): Rational {
    const start = this.at;
    const match = typedFractionPattern.exec(this.text.slice(this.at, this.end));
    const number = typedFraction(match);
    if (number === 'none') return single;
    const typed = match?.[0] ?? '';
    this.at += typed.length;
    if (/[\d./]/.test(this.character()))
      this.fault('hydrate-number-unreadable', start, { typed: typed.trim() });
    if (number === null) this.fault('count-zero', start);
    if (number.denominator > mostHydrateParts)
      this.fault('hydrate-number-unreadable', start, { typed: typed.trim() });
    if (number.numerator !== number.denominator) this.markup += typed.replace(/\s/g, '').replace(/^\./, '0.');
    return number;
  }

  private faultAtEmptyPart(position: number, isFirst: boolean): never {
    const one = this.character();
    if (isFirst && /[\d.½¼¾⅓⅔]/.test(one)) this.fault('formula-starts-with-number', position, { typed: one });
    if (!isFirst && one === '') this.fault('hydrate-missing', position - 1);
    return this.faultAtStray();
  }

  private faultAtStray(): never {
    const position = this.at;
    const one = this.character();
    if (')]}'.includes(one) && one !== '') this.fault('bracket-not-opened', position, { bracket: one });
    if (one === '+' || one === '-' || one === '−') this.fault('charge-needs-caret', position, { typed: one });
    if (one === '^' || (one !== '' && '⁺⁻'.includes(one))) this.fault('charge-unreadable', position);
    if (/\s/.test(one)) this.fault('formula-blank', position);
    this.fault('formula-stray', position, { typed: this.seen(position) });
  }
}

/** Adds a hydrate part to the whole over a common denominator; returns the new denominator. */
function addPart(
  total: Atoms,
  part: Atoms,
  { numerator, denominator: under }: Rational,
  denominator: number,
  tooLarge: () => never,
): number {
  const common = (denominator / greatestCommonDivisor(denominator, under)) * under;
  if (common > mostDenominator) tooLarge();
  const widen = common / denominator;
  const times = (numerator * common) / under;
  if (widen > 1) for (const [key, one] of total) total.set(key, { ...one, atoms: one.atoms * widen });
  for (const [key, one] of part) {
    const atoms = (total.get(key)?.atoms ?? 0) + one.atoms * times;
    if (atoms > mostAtoms * common) tooLarge();
    total.set(key, { ...one, atoms });
  }
  return common;
}

/**
 * Reads a chemical formula: nested brackets (), [], {}; hydrates after · . or *, with a whole,
 * decimal or fractional number; charges `^2-`, `²⁻`; isotopes `[13C]`, `¹³C`, D, T; plain or
 * subscript digits.
 *
 * @param text at most 300 characters
 * @error every fault carries its position inside the text (0 for an empty one): formula-missing,
 *   formula-too-long, formula-too-large, formula-too-deep, formula-stray, formula-blank,
 *   formula-starts-with-number, unknown-element (facts: symbol, suggestion), group-abbreviation,
 *   no-standard-atomic-weight (facts: symbol, name, suggestion), isotope-unknown, bracket-not-closed, bracket-not-opened,
 *   bracket-mismatch, bracket-empty, count-zero, hydrate-missing, hydrate-number-unreadable,
 *   charge-needs-caret, charge-unreadable, charge-twice, charge-inside-bracket
 * @source IUPAC Nomenclature of Inorganic Chemistry 2005, IR-4 (from memory)
 */
export function parseFormula(text: string): Result<Formula, Problem> {
  try {
    return ok(new FormulaReader(text).read());
  } catch (error) {
    if (error instanceof FormulaFault) return fail(error.problem);
    throw error;
  }
}
