import {
  formatNumber,
  formatQuantity,
  formatUncertainty,
  formatWithUncertainty,
  printedUnit,
} from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { budgetOf } from './budget.ts';
import { readExpression } from './expression.ts';
import type { Operation } from './expression.ts';
import type { Rounding, Working, WorkingTerm } from './working.ts';

const thinSpace = '\u2009';

/** A working taken apart for a screen or a page; every text is light markup. */
export interface WorkingParts {
  /** `n = m · w / M` */
  readonly formula: string;
  /** The same with numbers and units. */
  readonly substituted: string;
  /** `n = 14.34 mmol`, with `± u` where it is known. */
  readonly result: string;
  /** One line per symbol: its value, what it means and where it comes from. */
  readonly terms: readonly string[];
  /** Formula source first, then each table once. */
  readonly sources: readonly string[];
  /** How the digits were chosen, with the number before rounding. */
  readonly rounding: string;
  /** Shares of the uncertainty, largest first; null when it is unknown or zero. */
  readonly uncertainty: string | null;
}

/** Digits carried for a result that was not rounded: enough to redo the step by hand. */
const guardFigures = 2;

/**
 * A term's value as it goes into the formula: the digits typed or tabulated; where it was computed,
 * guard digits as well, unless they are zeros (a molar mass has no more decimals than its table).
 */
function termNumber(term: WorkingTerm): string {
  const { value, significantFigures } = term.quantity;
  if (significantFigures === null || term.source.kind !== 'working') {
    return formatNumber(value, significantFigures);
  }
  return guarded(value, significantFigures, guardFigures);
}

/** Written with extra figures, less the zeros among them. */
function guarded(value: number, significantFigures: number, extra: number): string {
  for (let more = extra; more > 0; more -= 1) {
    const text = formatNumber(value, Math.min(15, significantFigures + more));
    if (!/0(?:\D*×.*)?$/.test(text)) return text;
  }
  return formatNumber(value, significantFigures);
}

/** A term's value with its unit, with the digits it goes into the formula with. */
export const termQuantity = (term: WorkingTerm): string => {
  const unit = printedUnit(term.quantity.unit);
  return unit === '' ? termNumber(term) : termNumber(term) + thinSpace + unit;
};

/** Strength of binding, to know where brackets are needed. */
const strength: Readonly<Record<Operation['op'], number>> = {
  add: 1,
  subtract: 1,
  negate: 1,
  multiply: 2,
  divide: 2,
  power: 3,
  number: 4,
  term: 4,
  min: 4,
  max: 4,
  sqrt: 4,
  ln: 4,
  log10: 4,
  exp: 4,
  abs: 4,
};

/** The formula with numbers in place of symbols. */
function substitute(working: Working): string {
  const { operations, names } = readExpression(working.formula);
  const terms = names.map((name) => working.terms.find((term) => term.key === name));
  const write = (index: number, least: number, isStrict: boolean): string => {
    const operation = operations[index];
    if (operation === undefined) return '';
    const text = writeOperation(operation);
    const own = strength[operation.op];
    const needsBrackets = own < least || (isStrict && own === least);
    return needsBrackets ? `(${text})` : text;
  };
  const writeOperation = (operation: Operation): string => {
    switch (operation.op) {
      case 'number':
        return formatNumber(operation.value, null);
      case 'term': {
        const term = terms[operation.term];
        if (term === undefined) return '';
        const text = termQuantity(term);
        // Without brackets "2 g / 138 g/mol" would divide twice, and "5 − −3" reads badly.
        return /[/]/.test(printedUnit(term.quantity.unit)) || term.quantity.value < 0 ? `(${text})` : text;
      }
      case 'add':
        return `${write(operation.left, 1, false)} + ${write(operation.right, 1, false)}`;
      case 'subtract':
        return `${write(operation.left, 1, false)} − ${write(operation.right, 1, true)}`;
      case 'multiply':
        return `${write(operation.left, 2, false)} × ${write(operation.right, 2, false)}`;
      case 'divide':
        return `${write(operation.left, 2, false)} / ${write(operation.right, 2, true)}`;
      case 'power':
        return `${bracketed(operation.left)}^{${write(operation.right, 0, false)}}`;
      case 'negate':
        return `−${write(operation.left, 2, false)}`;
      case 'sqrt':
        return `√(${write(operation.left, 0, false)})`;
      case 'ln':
        return `ln(${write(operation.left, 0, false)})`;
      case 'log10':
        return `lg(${write(operation.left, 0, false)})`;
      case 'exp':
        return `exp(${write(operation.left, 0, false)})`;
      case 'abs':
        return `|${write(operation.left, 0, false)}|`;
      case 'min':
      case 'max':
        return `${operation.op}(${listed(operation.left, operation.op)}; ${write(operation.right, 0, false)})`;
    }
  };
  const bracketed = (index: number): string => {
    const text = write(index, 4, false);
    return /^\(.*\)$/.test(text) || /^[\d.]+$/.test(text) ? text : `(${text})`;
  };
  /** min(a; b; c) is kept as min(min(a; b); c); it is printed as it was written. */
  const listed = (index: number, op: 'min' | 'max'): string => {
    const operation = operations[index];
    if (operation?.op !== op) return write(index, 0, false);
    return `${listed(operation.left, op)}; ${write(operation.right, 0, false)}`;
  };
  return write(operations.length - 1, 0, false);
}

const roundingWords: Readonly<Record<Rounding, string>> = {
  exact: 'Counted or defined: exact, nothing is rounded.',
  uncertainty: 'Rounded once, here, to the place the uncertainty reaches.',
  'last-digits':
    'Rounded once, here, to the place that the last digits as entered reach; nothing else was said about how well it was measured.',
  'fewest-figures': 'Rounded once, here, to as many figures as the least precise factor has.',
  'decimal-places': 'Rounded once, here, to the decimal place of the least precise summand.',
  'both-rules':
    'Rounded once, here: decimal places decide in the sums, fewest figures in the products, step by step.',
  given: 'Rounded once, here, to the figures usual for this quantity.',
};

/** The number before rounding, for whoever checks the last digit. */
function roundingLine({ result, rounding }: Working): string {
  const words = roundingWords[rounding];
  const { value, significantFigures } = result;
  if (significantFigures === null) return words;
  const full = guarded(value, significantFigures, 4);
  return full === formatNumber(value, significantFigures) ? words : `${words} Before rounding: ${full}.`;
}

const sourceWords = (term: WorkingTerm, titles: ReadonlyMap<string, string>): string => {
  switch (term.source.kind) {
    case 'entered':
      return 'as entered';
    case 'working':
      return titles.has(term.source.id)
        ? `from: ${titles.get(term.source.id) ?? ''}`
        : 'worked out before, not rounded';
    case 'constant':
      return term.quantity.significantFigures === null ? term.source.citation : '';
  }
};

const percent = (share: number): string => {
  if (share === 1) return 'all';
  if (share >= 0.995) return '> 99\u2009%';
  return share < 0.01 ? '< 1\u2009%' : `${Math.round(share * 100)}\u2009%`;
};

/** Small contributors are named together; nobody can act on the eighth of them. */
const namedAtMost = 5;

function uncertaintyLine(working: Working): string | null {
  const budget = budgetOf(working);
  if (budget.length === 0) return null;
  const named = budget.slice(0, namedAtMost).map(({ source, share }) => `${source} ${percent(share)}`);
  const rest = budget.slice(namedAtMost).reduce((sum, line) => sum + line.share, 0);
  if (rest > 0) named.push(`${budget.length - namedAtMost} more, together ${percent(rest)}`);
  return `± is the standard uncertainty (k = 1). Shares of its variance: ${named.join('; ')}.`;
}

const withEquals = (symbol: string, text: string): string => `${symbol} = ${text}`;

const resultText = (result: Quantity): string =>
  result.standardUncertainty === null || result.standardUncertainty === 0
    ? formatQuantity(result).text
    : formatWithUncertainty(result).text;

/**
 * A working as a reader follows it.
 *
 * @param titles titles of other workings by id, so that a carried-over value says where it was worked out
 */
export function workingParts(
  working: Working,
  titles: ReadonlyMap<string, string> = new Map(),
): WorkingParts {
  const [left = working.symbol] = working.display.split(' = ');
  const terms = working.terms.map((term) => {
    const origin = sourceWords(term, titles);
    const u = term.quantity.standardUncertainty;
    const spread = u === null || u === 0 ? '' : `, u = ${formatUncertainty(u)}${unitSuffix(term.quantity)}`;
    return `${withEquals(term.symbol, termQuantity(term))}${spread}: ${term.meaning}${origin === '' ? '' : ` (${origin})`}`;
  });
  const tables = working.terms.flatMap((term) =>
    term.source.kind === 'constant' && term.quantity.significantFigures !== null
      ? [term.source.citation]
      : [],
  );
  return {
    formula: working.display,
    substituted: withEquals(left, substitute(working)),
    result: withEquals(left, resultText(working.result)),
    terms,
    sources: [
      `Formula: ${working.citation}`,
      ...[...new Set(tables)].map((citation) => `Values: ${citation}`),
    ],
    rounding: roundingLine(working),
    uncertainty: uncertaintyLine(working),
  };
}

const unitSuffix = ({ unit }: Quantity): string => {
  const printed = printedUnit(unit);
  return printed === '' ? '' : thinSpace + printed;
};

/**
 * A working line by line, in light markup: formula, substituted values with units, result,
 * rounding, the meaning and origin of each symbol, sources, shares of the uncertainty, notes.
 */
export function workingLines(working: Working, titles?: ReadonlyMap<string, string>): string[] {
  const parts = workingParts(working, titles);
  return [
    parts.formula,
    parts.substituted,
    parts.result,
    parts.rounding,
    ...parts.terms,
    ...parts.sources,
    ...(parts.uncertainty === null ? [] : [parts.uncertainty]),
    ...working.notes,
  ];
}
