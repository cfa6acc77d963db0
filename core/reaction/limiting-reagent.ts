import type { Contribution } from '../quantity/contribution.ts';
import { convert } from '../quantity/convert.ts';
import { formatNumber } from '../quantity/format.ts';
import type { Problem } from '../result.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { normalProbability } from './normal-distribution.ts';
import { rowLabel } from './place.ts';
import type { AmountTerm, SideName } from './portion.ts';
import type { LimitingVerdict, ReagentRow } from './table-types.ts';
import { workOut } from './work-out.ts';

/** One portion of a reactant whose amount is known without the limiting reagent. */
export interface CompetingPortion {
  readonly row: ReagentRow;
  readonly amountTerm: AmountTerm;
  readonly unitsPerFormula: number;
}

/** A reactant of the equation with all its portions. */
export interface Competitor {
  readonly coefficient: number;
  readonly portions: readonly CompetingPortion[];
}

/** A verdict with the workings that later formulas build on. */
export interface Limiting {
  readonly verdict: Extract<LimitingVerdict, { state: 'found' }>;
  readonly coefficient: number;
  readonly rowName: string;
  /** Extent of the limiting reagent by itself: how well the others were measured is no part of it. */
  readonly extent: Working;
  /** Extent that the runner-up would allow, when there is one. */
  readonly other: { readonly extent: Working; readonly name: string } | null;
}

interface Contender {
  readonly rowId: string;
  readonly name: string;
  readonly coefficient: number;
  readonly extent: Working;
}

/**
 * A margin counts as settled when it is larger than its expanded uncertainty (k = 2): then the
 * probability of the order found is at least Φ(2).
 *
 * @source JCGM 100:2008, 6.3.3 for k = 2
 */
export const certainFrom = normalProbability(2);

// From memory, not checked against the print.
const goldBook = 'extent of reaction: IUPAC Gold Book';

/** Extents closer than this are equal: the rest is binary arithmetic. */
const equalWithin = 1e-12;

function extentOf({ coefficient, portions }: Competitor, side: SideName): Contender | Problem | null {
  // The one with the smallest id speaks for all portions, whatever the order of the rows.
  const [first] = portions.toSorted((a, b) => (a.row.id < b.row.id ? -1 : 1));
  if (first === undefined) return null;
  const name = rowLabel(first.row);
  const isSingle = portions.length === 1;
  const terms = portions.map((one, index) =>
    one.amountTerm(isSingle ? 'n' : `n${index + 1}`, isSingle ? 'n' : `n_{${index + 1}}`),
  );
  const parts = portions.map((one, index) => {
    const key = terms[index]?.key ?? 'n';
    if (one.unitsPerFormula === 1) return key;
    const z = `z${isSingle ? '' : index + 1}`;
    const symbol = isSingle ? 'z' : `z_{${index + 1}}`;
    const meaning = `units of the equation in one of ${rowLabel(one.row)}`;
    terms.push(exactTerm(z, symbol, meaning, one.unitsPerFormula, 'as entered: what the bottle brings'));
    return `${key} * ${z}`;
  });
  const sum = isSingle ? (parts[0] ?? 'n') : `(${parts.join(' + ')})`;
  const shown = sum.replaceAll(' * ', ' · ').replaceAll(/([nz])(\d+)/g, '$1_{$2}');
  const worked = workOut({
    id: `extent:${first.row.id}:${side}`,
    title: `Extent that ${name} allows, ${side}`,
    symbol: 'ξ',
    formula: `${sum} / nu`,
    display: `ξ = ${shown} / ν`,
    terms: [
      ...terms,
      exactTerm('nu', 'ν', `coefficient of ${name} in the equation`, coefficient, 'balanced equation'),
    ],
    unit: 'mol',
    citation: goldBook,
  });
  return worked.ok ? { rowId: first.row.id, name, coefficient, extent: worked.value } : worked.error;
}

/** Standard uncertainty of the difference of two results; sources they share count once, with their signs. */
function differenceUncertainty(first: Working, second: Working): number {
  const bySource = new Map<string, number>();
  const add = (list: readonly Contribution[], sign: 1 | -1): void => {
    for (const { source, value } of list) bySource.set(source, (bySource.get(source) ?? 0) + sign * value);
  };
  add(first.contributions, 1);
  add(second.contributions, -1);
  return Math.hypot(...bySource.values());
}

interface Rival {
  readonly contender: Contender;
  readonly margin: number;
  readonly probability: number;
}

function rivalOf(limiting: Contender, contender: Contender): Rival {
  const least = limiting.extent.result.value;
  const difference = contender.extent.result.value - least;
  const margin = difference / least;
  if (margin <= equalWithin) return { contender, margin: 0, probability: 0.5 };
  const u = differenceUncertainty(contender.extent, limiting.extent);
  return { contender, margin, probability: u > 0 ? normalProbability(difference / u) : 1 };
}

/**
 * The rival to name: the one that is hardest to tell apart, if any cannot be; else the nearest.
 * Among equals by id, so that the order of the rows plays no part.
 */
function chooseRival(rivals: readonly Rival[]): Rival | null {
  const open = rivals.filter((one) => one.probability < certainFrom);
  const byId = (a: Rival, b: Rival): number => (a.contender.rowId < b.contender.rowId ? -1 : 1);
  const [rival = null] =
    open.length > 0
      ? open.toSorted((a, b) => a.probability - b.probability || a.margin - b.margin || byId(a, b))
      : rivals.toSorted((a, b) => a.margin - b.margin || byId(a, b));
  return rival;
}

/** A probability as one would say it: never 1, since nothing measured is that sure. */
export const probabilityText = (probability: number): string =>
  probability > 0.9999 ? 'above 0.9999' : formatNumber(probability, probability > 0.99 ? 4 : 2);

/** A share such as a margin, in per cent: two figures below 100 %, whole per cents from there. */
export const percentText = (fraction: number): string =>
  `${Math.abs(fraction) < 1 ? formatNumber(fraction * 100, 2) : String(Math.round(fraction * 100))}\u2009%`;

/** Excess from which a multiple of what the equation needs reads better than per cents: 2 is 200 %. */
const muchMore = 2;

/**
 * How far the next reactant lies above the limiting one, to follow its name.
 *
 * @param margin excess over what the equation needs, as a fraction (0.5 is 50 % above), ≥ 0
 * @returns ", 50 % above", or ": 23.7 times what is needed" when the excess is above 200 %
 */
export function excessText(margin: number): string {
  if (!(margin > muchMore)) return `, ${percentText(margin)} above`;
  const times = margin + 1;
  return `: ${times < 100 ? formatNumber(times, 3) : String(Math.round(times))} times what is needed`;
}

function notesFor(limiting: Contender, rival: Rival | null, isMeasured: boolean): string[] {
  if (rival === null) return ['It is the only reactant that was measured, so nothing competes with it.'];
  const notes: string[] = [];
  const other = rival.contender.name;
  if (rival.margin === 0) {
    notes.push(`${limiting.name} and ${other} are in the exact ratio of the equation; neither is in excess.`);
  } else {
    notes.push(
      `Next comes ${other}${excessText(rival.margin)}. Probability that ${limiting.name} runs out first: ${probabilityText(rival.probability)}.`,
    );
  }
  if (!isMeasured) {
    notes.push(
      'No instrument was named for at least one of the two, so half a step of the last digit entered stands for how well it was measured (JCGM 100:2008, F.2.2.1). The real uncertainty is larger.',
    );
  }
  return notes;
}

/**
 * Finds the reactant that runs out first: the smallest extent n/ν.
 *
 * How sure that is comes from the uncertainties of measuring, assay and density, correlated through
 * the sources that two reactants share: P = Φ((ξ₂ − ξ₁)/u(ξ₂ − ξ₁)).
 *
 * @param competitors reactants with known amounts, each once; at least one
 * @returns the verdict, or the problem that stopped it
 * @source extent of reaction: IUPAC Gold Book (from memory); probability: GUM propagation
 *   (JCGM 100:2008, 5.1.2 and 5.2.2) with a normal law
 */
export function findLimiting(
  competitors: readonly Competitor[],
  side: SideName,
): Limiting | readonly Problem[] {
  const contenders: Contender[] = [];
  const problems: Problem[] = [];
  for (const competitor of competitors) {
    const found = extentOf(competitor, side);
    if (found === null) continue;
    if ('extent' in found) contenders.push(found);
    else problems.push(found);
  }
  if (problems.length > 0) return problems;
  const order = contenders.toSorted((a, b) => {
    const difference = a.extent.result.value - b.extent.result.value;
    const isEqual = Math.abs(difference) <= equalWithin * a.extent.result.value;
    return isEqual ? (a.rowId < b.rowId ? -1 : 1) : difference;
  });
  const [limiting, ...others] = order;
  if (limiting === undefined) return [];
  const rival = chooseRival(others.map((one) => rivalOf(limiting, one)));
  const isMeasured =
    limiting.extent.result.standardUncertainty !== null &&
    (rival === null || rival.contender.extent.result.standardUncertainty !== null);
  const worked = limitingWorking(contenders, limiting, notesFor(limiting, rival, isMeasured), side);
  if ('code' in worked) return [worked];
  return {
    verdict: {
      state: 'found',
      rowId: limiting.rowId,
      extent: convert(limiting.extent.result, 'mmol'),
      runnerUp:
        rival === null
          ? null
          : {
              rowId: rival.contender.rowId,
              extent: convert(rival.contender.extent.result, 'mmol'),
              margin: rival.margin,
              probability: rival.probability,
            },
      isCertain: rival === null || rival.probability >= certainFrom,
      extents: contenders.map((one) => one.extent),
      working: worked,
    },
    coefficient: limiting.coefficient,
    rowName: limiting.name,
    extent: limiting.extent,
    other: rival === null ? null : { extent: rival.contender.extent, name: rival.contender.name },
  };
}

function limitingWorking(
  contenders: readonly Contender[],
  limiting: Contender,
  notes: readonly string[],
  side: SideName,
): Working | Problem {
  const keys = contenders.map((_, index) => `x${index + 1}`);
  const symbols = contenders.map((_, index) => `ξ_{${index + 1}}`);
  const worked = workOut({
    id: `limiting:${side}`,
    title: `Extent of the limiting reagent, ${limiting.name}, ${side}`,
    symbol: 'ξ_{lim}',
    formula: `min(${keys.join(', ')})`,
    display: `ξ_{lim} = ${contenders.length === 1 ? 'ξ_{1}' : `min(${symbols.join('; ')})`}`,
    terms: contenders.map(({ name, extent }, index) =>
      workingTerm(keys[index] ?? '', symbols[index] ?? '', `extent that ${name} allows`, extent),
    ),
    unit: 'mol',
    citation: goldBook,
    notes,
  });
  return worked.ok ? worked.value : worked.error;
}
