import { formatNumber, formatQuantity } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { exponentOf, figuresAtPlace } from '../quantity/uncertainty.ts';
import type { LiteratureValues, ResultRecord } from '../record/content.ts';
import type { Problem } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, enteredTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { FieldReader, unreadable } from './identity.ts';
import type { IdentityVerdict } from './identity.ts';

type Range = { readonly from: Quantity; readonly to: Quantity };

/** Widths in °C up to which a range is called sharp, usual, wide. Common practice, no source. */
const widthGrades = [
  [1, 'sharp'],
  [2, 'usual'],
  [4, 'wide'],
] as const;
/** What an ordinary thermometer in an ordinary apparatus can tell apart, °C. Common practice, no source. */
const thermometerC = 1;

const at = 'result.meltingRange';

const finding = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: at, facts });

/** A difference of two temperatures to their coarser decimal place, without sign: `1.5 °C`. */
const differenceText = (working: Working): string =>
  formatQuantity({ ...working.result, value: Math.abs(working.result.value) }).text;

function subtract(
  id: string,
  title: string,
  display: string,
  high: WorkingTerm,
  low: WorkingTerm,
  figures?: number,
): Working | null {
  const worked = derive({
    id,
    title,
    symbol: 'Δt',
    formula: `${high.key} - ${low.key}`,
    display,
    terms: [high, low],
    unit: 'Δ°C',
    citation: 'difference of two temperatures',
    where: at,
    ...(figures === undefined ? {} : { figures }),
  });
  return worked.ok ? worked.value : null;
}

/** Both ends were read on one thermometer: 133 and 135.5 °C lie 2.5 °C apart, whichever zero was left out. */
function widthFigures({ from, to }: Range): number {
  const place = ({ value, significantFigures }: Quantity): number =>
    exponentOf(value) - (significantFigures ?? 1) + 1;
  return Math.max(1, figuresAtPlace(to.value - from.value, Math.min(place(from), place(to))));
}

function gradeOf(width: number): string {
  for (const [most, grade] of widthGrades) if (width <= most + 1e-9) return grade;
  return 'very-wide';
}

const rangeText = ({ from, to }: Range): string =>
  from.value === to.value
    ? `${formatNumber(to.value, to.significantFigures)}\u2009°C`
    : `${formatNumber(from.value, from.significantFigures)} to ${formatNumber(to.value, to.significantFigures)}\u2009°C`;

/**
 * Judges a melting range: its order, its width, its distance from the published one.
 *
 * A melting range alone proves neither identity nor purity, so the words only say what agrees. The
 * readings are taken as corrected; corrections belong to the worksheets.
 *
 * @returns null when nothing was entered
 * @error among the findings: melting-range-reversed, melting-one-end, the codes of `parseEntered`;
 *   otherwise melting-width (facts: grade, width) and one of melting-agrees, melting-near,
 *   melting-below, melting-above, melting-no-literature
 * @source limits of 1, 2 and 4 °C: common practice, no source
 */
export function evaluateMelting(
  measured: ResultRecord['meltingRange'],
  literature: LiteratureValues['meltingRange'],
): IdentityVerdict | null {
  const reader = new FieldReader();
  const from = reader.read(measured.from, 'temperature', '°C', `${at}.from`);
  const to = reader.read(measured.to, 'temperature', '°C', `${at}.to`);
  if (reader.problems.length > 0) return unreadable('melting', reader.problems);
  const range = from !== null && to !== null ? { from, to } : null;
  const single = from ?? to;
  if (single === null) return null;
  if (range !== null && range.from.value > range.to.value) {
    return unreadable('melting', [
      finding('melting-range-reversed', { from: rangeEnd(range.from), to: rangeEnd(range.to) }),
    ]);
  }
  const known = range ?? { from: single, to: single };
  const findings: Problem[] = [];
  const workings: Working[] = [];
  let width = 0;
  if (range === null) findings.push(finding('melting-one-end', { value: rangeEnd(single) }));
  else {
    const worked = subtract(
      'melting-width',
      'Width of the melting range',
      'Δt = t_{end} − t_{begin}',
      enteredTerm('t_end', 't_{end}', 'last crystal gone', range.to, `${at}.to`),
      enteredTerm('t_begin', 't_{begin}', 'first melt', range.from, `${at}.from`),
      widthFigures(range),
    );
    if (worked !== null) {
      width = worked.result.value;
      workings.push(worked);
      findings.push(finding('melting-width', { grade: gradeOf(width), width: differenceText(worked) }));
    }
  }
  const compared = compare(known, literature);
  const widthSize = width > 2 + 1e-9 ? width / 4 : 0;
  return {
    property: 'melting',
    state: compared.state === 'agrees' && width > 4 + 1e-9 ? 'differs' : compared.state,
    findings: [...findings, ...compared.findings],
    workings: [...workings, ...compared.workings],
    distance: compared.distance,
    size: Math.max(widthSize, compared.size),
  };
}

const rangeEnd = (quantity: Quantity): string => formatQuantity(quantity).text;

type Compared = Omit<IdentityVerdict, 'property'>;

const open = (finding_: Problem): Compared => ({
  state: 'open',
  findings: [finding_],
  workings: [],
  distance: null,
  size: 0,
});

function compare(range: Range, literature: LiteratureValues['meltingRange']): Compared {
  if (literature === null) return open(finding('melting-no-literature'));
  const reader = new FieldReader();
  const field = 'literature.meltingRange';
  const low = reader.read(literature.from, 'temperature', '°C', `${field}.from`);
  const high = reader.read(literature.to, 'temperature', '°C', `${field}.to`) ?? low;
  if (low === null || high === null || reader.problems.length > 0) {
    const [problem] = reader.problems;
    return open(problem ?? finding('melting-no-literature'));
  }
  const published: Range = low.value <= high.value ? { from: low, to: high } : { from: high, to: low };
  const facts = { literature: rangeText(published), source: literature.source.trim() || 'source not named' };
  const isBelow = range.to.value < published.from.value;
  const isAbove = range.from.value > published.to.value;
  if (!isBelow && !isAbove) {
    const zero = { value: 0, unit: 'Δ°C', standardUncertainty: null, significantFigures: 1 } as const;
    return {
      state: 'agrees',
      findings: [finding('melting-agrees', facts)],
      workings: [],
      distance: zero,
      size: 0,
    };
  }
  const near = isBelow ? range.to : range.from;
  const edge = isBelow ? published.from : published.to;
  const worked = subtract(
    'melting-distance',
    'Distance of the melting range from the published one',
    'Δt = t − t_{lit}',
    enteredTerm(
      't',
      't',
      isBelow ? 'last crystal gone' : 'first melt',
      near,
      isBelow ? `${at}.to` : `${at}.from`,
    ),
    constantTerm('t_lit', 't_{lit}', 'nearer end of the published range', edge, facts.source),
  );
  if (worked === null) return open(finding('melting-no-literature'));
  const gap = Math.abs(worked.result.value);
  const isNear = gap <= thermometerC + 1e-9;
  const code = isNear ? 'melting-near' : isBelow ? 'melting-below' : 'melting-above';
  return {
    state: isNear ? 'agrees' : 'differs',
    findings: [finding(code, { ...facts, by: differenceText(worked), side: isBelow ? 'below' : 'above' })],
    workings: [worked],
    distance: worked.result,
    size: isNear ? 0 : gap / 2,
  };
}
