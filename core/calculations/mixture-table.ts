import { exactTerm, workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { thousand } from './crop.ts';
import type { Sheet } from './sheet.ts';

export const hundred = exactTerm('hundred', '100', 'per cent', 100, 'definition of per cent');
// The model from memory, not checked against the print.
const logLinear =
  'log-linear mixing of two solvents between neighbouring lines: Yalkowsky, Solubility and Solubilization in Aqueous Media (1999)';
/** Neighbours further apart than this make a straight line a guess, % v/v. Common practice, no source. */
const widestGap = 25;

/** One line of the table: share of the better solvent in % v/v, solubility hot and cold in g/L of mixture. */
export interface Line {
  readonly share: WorkingTerm;
  readonly hot: WorkingTerm;
  readonly cold: WorkingTerm;
}
/** The bare number of a term, in the unit its field is asked in. */
export const valueOf = (term: WorkingTerm): number => term.quantity.value;
const figuresOf = (...terms: readonly WorkingTerm[]): number =>
  Math.min(...terms.map(({ quantity }) => quantity.significantFigures ?? 4));

/** The table, richest in the better solvent first; null when a line is missing, repeated or not possible. */
export function linesOf(sheet: Sheet): readonly Line[] | null {
  const rows = sheet.series('table', { share: 'x', hot: 'h', cold: 'c' });
  if (rows === null) return null;
  const lines = rows
    .map((row) => ({
      share: row['share'] as WorkingTerm,
      hot: row['hot'] as WorkingTerm,
      cold: row['cold'] as WorkingTerm,
    }))
    .sort((a, b) => valueOf(b.share) - valueOf(a.share));
  const repeated = lines.find(
    ({ share }, index) => index > 0 && valueOf(lines[index - 1]?.share ?? share) === valueOf(share),
  );
  if (repeated !== undefined) {
    sheet.problem('mixture-repeated', 'table', { share: valueOf(repeated.share) });
    return null;
  }
  return lines;
}

/** Solubility in a mixture, on the straight line of ln s against the share; never outside the table. */
export function solubilityIn(
  sheet: Sheet,
  lines: readonly Line[],
  at: WorkingTerm,
  which: 'hot' | 'cold',
): WorkingTerm | null {
  const key = `s_${which}`;
  const symbol = `s_{${which}}`;
  const meaning = `solubility ${which} in the mixture`;
  const wanted = valueOf(at);
  const exact = lines.find(({ share }) => Math.abs(valueOf(share) - wanted) <= 1e-9 * Math.max(1, wanted));
  if (exact !== undefined) return { ...exact[which], key, symbol, meaning };
  const below = lines.findIndex(({ share }) => valueOf(share) < wanted);
  const [high, low] = [lines[below - 1], lines[below]];
  if (high === undefined || low === undefined) {
    const [first, last] = [lines[0], lines.at(-1)];
    sheet.problem('outside-mixtures', 'table', {
      at: Number(wanted.toPrecision(3)),
      least: last === undefined ? 0 : valueOf(last.share),
      most: first === undefined ? 0 : valueOf(first.share),
    });
    return null;
  }
  sayGap(sheet, high, low);
  const working = sheet.derive({
    id: `solubility-${which}`,
    title: `Solubility ${which} in the mixture`,
    symbol,
    formula: 's1 * exp(ln(s2 / s1) * (x - x1) / (x2 - x1))',
    display: 'ln s = ln s_{1} + ln(s_{2}/s_{1}) · (x − x_{1}) / (x_{2} − x_{1})',
    terms: [
      { ...low[which], key: 's1', symbol: 's_{1}' },
      { ...high[which], key: 's2', symbol: 's_{2}' },
      { ...at, key: 'x', symbol: 'x' },
      { ...low.share, key: 'x1', symbol: 'x_{1}' },
      { ...high.share, key: 'x2', symbol: 'x_{2}' },
    ],
    unit: 'g/L',
    citation: logLinear,
    figures: figuresOf(low[which], high[which]),
    notes: [
      `Between ${valueOf(low.share)} and ${valueOf(high.share)} % v/v; not used outside the lines given.`,
    ],
  });
  return working === null ? null : workingTerm(key, symbol, meaning, working);
}

function sayGap(sheet: Sheet, high: Line, low: Line): void {
  if (valueOf(high.share) - valueOf(low.share) <= widestGap) return;
  sheet.say(
    'doubt',
    `The mixture lies between lines more than ${widestGap} % v/v apart: try it on a small portion first.`,
  );
}

/** Of a mixture: what it holds hot for each litre of the better solvent in it, g/L. */
function heldBy(sheet: Sheet, { hot, share }: Line, index: 1 | 2): WorkingTerm | null {
  const working = sheet.derive({
    id: `held-${index}`,
    title: `Held hot for each litre of the better solvent, at ${valueOf(share)} % v/v`,
    symbol: `q_{${index}}`,
    formula: 's * hundred / x',
    display: `q_{${index}} = s_{hot} · 100 / x`,
    terms: [{ ...hot, key: 's', symbol: 's_{hot}' }, { ...share, key: 'x', symbol: 'x' }, hundred],
    unit: 'g/L',
    citation: 'mass balance; the volumes are taken to add up',
  });
  return working === null ? null : workingTerm(`q${index}`, `q_{${index}}`, 'held by the mixture', working);
}

/**
 * Volume of the other solvent until the hot solution clouds: there the mixture is saturated. Found between
 * the two lines whose mixtures hold more and less than there is, from the better solvent downwards.
 */
export function toClouding(
  sheet: Sheet,
  lines: readonly Line[],
  mass: WorkingTerm,
  better: WorkingTerm,
): WorkingTerm | null {
  const carried = (1000 * valueOf(mass)) / valueOf(better);
  const held = ({ hot, share }: Line): number => (100 * valueOf(hot)) / valueOf(share);
  const after = lines.findIndex((line, index) => {
    const before = lines[index - 1];
    if (before === undefined || !(valueOf(line.share) > 0)) return false;
    return held(line) <= carried * (1 + 1e-12) && held(line) < held(before);
  });
  const [high, low] = [lines[after - 1], lines[after]];
  if (high === undefined || low === undefined) {
    const last = lines.findLast(({ share }) => valueOf(share) > 0);
    sheet.problem('clouding-beyond', 'table', { least: last === undefined ? 0 : valueOf(last.share) });
    return null;
  }
  sayGap(sheet, high, low);
  const [q1, q2] = [heldBy(sheet, high, 1), heldBy(sheet, low, 2)];
  const q = sheet.derive({
    id: 'carried',
    title: 'Dissolved in each litre of the better solvent',
    symbol: 'q',
    formula: 'thousand * mass / V_1',
    display: 'q = m / V_{1}',
    terms: [thousand, mass, better],
    unit: 'g/L',
    citation: 'definition of a mass concentration',
  });
  const ratio = sheet.derive({
    id: 'clouding-ratio',
    title: 'Other solvent for each millilitre of the better one, at clouding',
    symbol: 'r',
    formula: '(hundred - x1) / x1 + ((hundred - x2) / x2 - (hundred - x1) / x1) * ln(q1 / q) / ln(q1 / q2)',
    display:
      'r = r_{1} + (r_{2} − r_{1}) · ln(q_{1}/q) / ln(q_{1}/q_{2}), with r_{i} = (100 − x_{i}) / x_{i}',
    terms: [
      hundred,
      { ...high.share, key: 'x1', symbol: 'x_{1}' },
      { ...low.share, key: 'x2', symbol: 'x_{2}' },
      q1,
      q2,
      q === null ? null : workingTerm('q', 'q', 'dissolved in each litre of the better solvent', q),
    ],
    unit: '1',
    citation: 'straight line of ln q between the two neighbouring lines of the table',
    // An estimate between two lines of a table: no more figures than their solubilities have.
    figures: Math.min(3, figuresOf(high.hot, low.hot)),
    notes: [`Between ${valueOf(low.share)} and ${valueOf(high.share)} % v/v of the better solvent.`],
  });
  const other = sheet.answer({
    id: 'other-solvent',
    title: 'Other solvent to add, hot, until it clouds',
    symbol: 'V_{2}',
    formula: 'V_1 * r',
    display: 'V_{2} = V_{1} · r',
    terms: [better, ratio === null ? null : workingTerm('r', 'r', 'ratio at clouding', ratio)],
    unit: 'mL',
    citation: 'saturation of the hot mixture',
  });
  return other === null ? null : workingTerm('V_2', 'V_{2}', 'volume of the other solvent', other);
}
