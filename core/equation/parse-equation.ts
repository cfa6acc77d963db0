import type { Problem, Result } from '../result.ts';
import { fail, ok } from '../result.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { typedFraction, typedFractionPattern } from '../formula/typed-fraction.ts';
import type { Equation, Side, Species } from './equation.ts';

const longestEquation = 1_000;
const mostSpecies = 24;
const arrowPattern = /<=+>|<-+>|-+>|=+>|[→⟶➝➔⇒⇌⇄⇆↔]|=+/y;
const reversible = /[<⇌⇄⇆↔]/;
const chargePattern = /(?:\^\{\d{0,2}[-+−]\}|\^\d{0,2}[-+−]|[⁰¹²³⁴⁵⁶⁷⁸⁹]{0,2}[⁺⁻])/y;
const statePattern = /\s*\((s|l|g|aq|cr|sln|am|v|c)\)\s*$/;
const fallOut = /\s*[↑↓]\s*$/;
const problem = (code: string, position: number, facts: Problem['facts'] = {}) =>
  fail({ code, where: '', position, facts });

interface Piece {
  readonly text: string;
  readonly position: number;
  readonly side: Side;
}

/**
 * Reads a reaction equation: species joined by `+`, the sides by `->`, `→`, `=` or `⇌`. Coefficients
 * may be typed, also as fractions; states of matter in brackets and ↑ ↓ are read and play no part;
 * ions carry their charge as `^2-` or `²⁻`.
 *
 * @param text at most 1000 characters, 24 species
 * @error with the position inside the text: equation-missing, equation-too-long, arrow-missing,
 *   arrow-twice, side-empty, species-missing, too-many-species, coefficient-zero,
 *   coefficient-unreadable, electron-in-equation, and every code of `parseFormula`
 */
export function parseEquation(text: string): Result<Equation, Problem> {
  if (text.trim() === '') return problem('equation-missing', 0);
  if (text.length > longestEquation)
    return problem('equation-too-long', longestEquation, { longest: longestEquation });
  const split = splitSides(text);
  if (!split.ok) return split;
  const { pieces, arrow } = split.value;
  const species: Species[] = [];
  for (const piece of pieces) {
    const one = readSpecies(piece, text);
    if (!one.ok) return one;
    species.push(one.value);
  }
  return ok({ text: text.trim(), species, arrow });
}

function splitSides(
  text: string,
): Result<{ readonly pieces: readonly Piece[]; readonly arrow: '→' | '⇌' }, Problem> {
  const pieces: Piece[] = [];
  let side: Side = 'left';
  let arrow: '→' | '⇌' | null = null;
  let start = 0;
  let at = 0;
  const close = (end: number): void => {
    pieces.push({ text: text.slice(start, end), position: start, side });
  };
  while (at < text.length) {
    const charge = match(chargePattern, text, at);
    // Charges go first, so that the + of Na^+ is not taken for the one between species.
    if (charge !== '') {
      at += charge.length;
      continue;
    }
    const found = match(arrowPattern, text, at);
    if (found !== '') {
      if (arrow !== null) return problem('arrow-twice', at);
      close(at);
      arrow = reversible.test(found) ? '⇌' : '→';
      side = 'right';
      at += found.length;
      start = at;
      continue;
    }
    if (text.charAt(at) === '+') {
      close(at);
      start = at + 1;
    }
    at += 1;
  }
  close(text.length);
  if (arrow === null) return problem('arrow-missing', Math.max(0, text.trimEnd().length - 1));
  if (pieces.length > mostSpecies) {
    return problem('too-many-species', pieces[mostSpecies]?.position ?? 0, { most: mostSpecies });
  }
  return findEmpty(pieces, text) ?? ok({ pieces, arrow });
}

function findEmpty(pieces: readonly Piece[], text: string): Result<never, Problem> | null {
  for (const side of ['left', 'right'] as const) {
    const own = pieces.filter((one) => one.side === side);
    const [first] = own;
    if (own.length === 1 && first?.text.trim() === '') {
      return problem('side-empty', inside(first.position, text), { side });
    }
  }
  for (const [index, piece] of pieces.entries()) {
    if (piece.text.trim() !== '') continue;
    const before = pieces[index - 1];
    // `Na+ + Cl-`: the sign glued to a symbol was meant as a charge.
    const glued = before !== undefined && before.side === piece.side && /\S$/.test(before.text);
    const position = inside(Math.max(0, piece.position - 1), text);
    return glued
      ? problem('charge-needs-caret', position, { typed: '+' })
      : problem('species-missing', position);
  }
  return null;
}

const inside = (position: number, text: string): number => Math.max(0, Math.min(position, text.length - 1));

function match(pattern: RegExp, text: string, at: number): string {
  pattern.lastIndex = at;
  return pattern.exec(text)?.[0] ?? '';
}

function readSpecies(piece: Piece, whole: string): Result<Species, Problem> {
  const lead = piece.text.length - piece.text.trimStart().length;
  const begin = piece.position + lead;
  let body = piece.text.trim();
  if (/^\d*\s*e\s*(?:\^\{?-\}?|\^−|⁻)$/.test(body)) return problem('electron-in-equation', begin);
  body = body.replace(fallOut, '');
  const state = statePattern.exec(body)?.[1] ?? '';
  body = body.replace(statePattern, '');
  const coefficient = typedFractionPattern.exec(body);
  const typedText = coefficient?.[0] ?? '';
  const formulaText = body.slice(typedText.length);
  const typed = typedFraction(coefficient);
  if (typed === null) return problem('coefficient-zero', begin);
  if (/^[\d.]/.test(formulaText))
    return problem('coefficient-unreadable', begin, { typed: typedText.trim() });
  const formula = parseFormula(formulaText);
  if (!formula.ok) {
    const position = inside(begin + typedText.length + (formula.error.position ?? 0), whole);
    return fail({ ...formula.error, position });
  }
  return ok({
    text: formulaText,
    formula: formula.value,
    side: piece.side,
    typed: typed === 'none' ? null : typed,
    state,
    position: begin,
  });
}
