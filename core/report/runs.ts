import { printedUnit } from '../quantity/format.ts';
import type { Entered } from '../quantity/quantity.ts';
import { parseMarkup } from '../workings/markup.ts';
import type { Ink, Line, Run } from './report-document.ts';

type Manner = Omit<Run, 'text' | 'script'>;

/** Plain text, taken to the letter. */
export const plain = (text: string, manner: Manner = {}): Line => (text === '' ? [] : [{ text, ...manner }]);

/** Light markup (`H_{2}O`) as runs. */
export const marked = (markup: string, manner: Manner = {}): Line =>
  parseMarkup(markup).map((run) => ({ ...run, ...manner }));

/** A letter that stands alone is the symbol of a quantity; in brackets of its own it is an element. */
const loneLetter = /(?<![\p{L}(])([\p{L}])(?![\p{L}])|(?<=\()([\p{L}])(?![\p{L})])|(?<=Δ)(\p{Ll})(?!\p{L})/gu;

/**
 * Light markup of a formula with the symbols of quantities in italics, subscripts and units upright.
 *
 * @source IUPAC Green Book, 3rd ed., 1.6
 */
export const formula = (markup: string, manner: Manner = {}): Line =>
  parseMarkup(markup).flatMap((run): Line => {
    if (run.script !== undefined) return [{ ...run, ...manner }];
    const parts = run.text.split(loneLetter).filter((part) => part !== undefined && part !== '');
    return parts.map((text) =>
      /^\p{L}$/u.test(text) && text !== 'Δ' && text !== 'Σ'
        ? { text, ...manner, style: 'italic' }
        : { text, ...manner },
    );
  });

/** `symbol = value`: the symbol as in a formula, the rest upright. */
export function equality(markup: string, manner: Manner = {}): Line {
  const at = markup.indexOf(' = ');
  if (at < 0) return marked(markup, manner);
  return [...formula(markup.slice(0, at), manner), ...marked(markup.slice(at), manner)];
}

export const quiet = (text: string): Line => plain(text, { tone: 'quiet' });
export const bold = (text: string, manner: Manner = {}): Line => plain(text, { weight: 'bold', ...manner });
export const inked = (text: string, ink: Ink): Line => plain(text, { ink });

/** Lines put together with something between those that say anything. */
export function joined(lines: readonly Line[], separator: string): Line {
  const parts = lines.filter((line) => line.length > 0);
  return parts.flatMap((line, index) =>
    index === 0 ? line : [{ text: separator, ...toneOf(line) }, ...line],
  );
}
const toneOf = (line: Line): Manner => (line[0]?.tone === undefined ? {} : { tone: line[0].tone });

const minus = '\u2212';
const thinSpace = '\u2009';

export const isGiven = (entered: Entered | null): entered is Entered =>
  entered !== null && entered.text.trim() !== '';

/** A value as it was typed, with a real minus and a thin space before its unit. */
export function entered(value: Entered | null): string {
  if (!isGiven(value)) return '';
  const number = value.text.trim().replace(/^-/, minus);
  const unit = printedUnit(value.unit);
  return unit === '' ? number : `${number}${thinSpace}${unit}`;
}

/** Both ends of a range as typed: `134–136 °C`, `from 50 °C`, `up to 10 °C`. */
export function enteredRange(from: Entered | null, to: Entered | null): string {
  if (isGiven(from) && isGiven(to)) {
    if (from.text.trim() === to.text.trim() && from.unit === to.unit) return entered(from);
    return from.unit === to.unit
      ? `${entered({ ...from, unit: '1' })}–${entered(to)}`
      : `${entered(from)}–${entered(to)}`;
  }
  if (isGiven(from)) return `from ${entered(from)}`;
  return isGiven(to) ? `up to ${entered(to)}` : '';
}

/** First letter in upper case: our sentences begin with a substance, whose name is written small. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Shortened at a word, for places that hold one line. */
export function shortened(text: string, most: number): string {
  const flat = text.replace(/\s+/g, ' ').trim();
  const letters = [...flat];
  if (letters.length <= most) return flat;
  const cut = letters.slice(0, most).join('');
  const space = cut.lastIndexOf(' ');
  return `${(space > most * 0.6 ? cut.slice(0, space) : cut).trimEnd()}…`;
}
