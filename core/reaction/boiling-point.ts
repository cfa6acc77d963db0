import { formatQuantity } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { LiteratureValues, ResultRecord } from '../record/content.ts';
import type { Problem, Result } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, enteredTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { FieldReader, unreadable } from './identity.ts';
import type { IdentityVerdict } from './identity.ts';

// From memory, not checked against the print.
const youngsRule = 'Sydney Young’s rule';
const at = 'result.boilingRange';
const finding = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: at, facts });

/** Distance from the published value that a distillation with an ordinary thermometer allows, °C. Common practice, no source. */
const withinC = 2;
/** Beyond this the rule is no longer a small correction, mmHg. Common practice, no source. */
const ruleReachesMmHg = 75;

/** How strongly a liquid's molecules cling together: alcohols, acids and water are associated. */
export type LiquidKind = 'normal' | 'associated' | 'unknown';

const slopes: Readonly<
  Record<LiquidKind, { readonly perMmHg: number; readonly u: number; readonly meaning: string }>
> = {
  normal: { perMmHg: 0.00012, u: 0, meaning: 'slope for a liquid without hydrogen bonds, per mmHg' },
  associated: { perMmHg: 0.0001, u: 0, meaning: 'slope for an alcohol, an acid or water, per mmHg' },
  // Between the two, with both ends inside the limits.
  unknown: {
    perMmHg: 0.00011,
    u: 0.00001 / Math.sqrt(3),
    meaning: 'slope between that of alcohols (0.00010) and of other liquids (0.00012), per mmHg',
  },
};

/**
 * Boiling point at another pressure near one atmosphere: t + k (p₂ − p₁)(273.15 + t).
 *
 * @param observed boiling point read, °C
 * @param pressure at which it was read, mmHg
 * @param target pressure wanted, mmHg
 * @returns °C
 * @error pressure-too-far: more than 75 mmHg apart (facts: by)
 * @source Sydney Young's rule, k from memory
 */
export function boilingPointAt(
  observed: Quantity,
  pressure: Quantity,
  target: Quantity,
  liquid: LiquidKind,
): Result<Working, Problem> {
  const apart = Math.abs(target.value - pressure.value);
  if (!(apart <= ruleReachesMmHg)) {
    return { ok: false, error: finding('boiling-pressure-too-far', { reach: ruleReachesMmHg }) };
  }
  const slope = slopes[liquid];
  const k = { value: slope.perMmHg, unit: '1', standardUncertainty: slope.u, significantFigures: 2 } as const;
  return derive({
    id: 'boiling-point-corrected',
    title: 'Boiling point at the pressure of the published value',
    symbol: 't_{p}',
    formula: 't + k * (p_lit - p) * (273.15 + t)',
    display: 't_{p} = t + k · (p_{lit} − p) · (273.15 + t)',
    terms: [
      enteredTerm('t', 't', 'boiling point as read', observed, `${at}.to`),
      constantTerm('k', 'k', slope.meaning, k, youngsRule),
      constantTerm('p_lit', 'p_{lit}', 'pressure of the published value', target, 'published value'),
      enteredTerm('p', 'p', 'pressure at which it was read', pressure, `${at}.pressure`),
    ],
    unit: '°C',
    citation: `${youngsRule}; good near one atmosphere`,
    notes:
      liquid === 'unknown'
        ? ['The slope lies between 0.00010 (alcohols, acids, water) and 0.00012 per mmHg (others).']
        : [],
    where: at,
  });
}

/**
 * Judges a boiling range against the published boiling point, at its pressure.
 *
 * @returns null when nothing was entered
 * @error among the findings: boiling-range-reversed, boiling-no-literature, boiling-uncorrected
 *   (facts: missing), boiling-pressure-too-far, the codes of `parseEntered`; otherwise one of
 *   boiling-agrees, boiling-below, boiling-above
 */
export function evaluateBoiling(
  measured: ResultRecord['boilingRange'],
  literature: LiteratureValues['boilingPoint'],
): IdentityVerdict | null {
  const reader = new FieldReader();
  const from = reader.read(measured.from, 'temperature', '°C', `${at}.from`);
  const to = reader.read(measured.to, 'temperature', '°C', `${at}.to`);
  const pressure = reader.read(measured.pressure, 'pressure', 'mmHg', `${at}.pressure`);
  if (reader.problems.length > 0) return unreadable('boiling', reader.problems);
  const low = from ?? to;
  const high = to ?? from;
  if (low === null || high === null) return null;
  if (low.value > high.value) {
    const facts = { from: formatQuantity(low).text, to: formatQuantity(high).text };
    return unreadable('boiling', [finding('boiling-range-reversed', facts)]);
  }
  if (literature === null) return open([finding('boiling-no-literature')]);
  const value = reader.read(literature.value, 'temperature', '°C', 'literature.boilingPoint.value');
  const target = reader.read(literature.pressure, 'pressure', 'mmHg', 'literature.boilingPoint.pressure');
  if (value === null || reader.problems.length > 0) {
    return open(reader.problems.length > 0 ? reader.problems : [finding('boiling-no-literature')]);
  }
  const source = literature.source.trim() || 'source not named';
  return judge({ low, high, pressure }, { value, target, source });
}

const open = (findings: readonly Problem[]): IdentityVerdict => ({
  property: 'boiling',
  state: 'open',
  findings,
  workings: [],
  distance: null,
  size: 0,
});

interface Read {
  readonly low: Quantity;
  readonly high: Quantity;
  readonly pressure: Quantity | null;
}
interface Published {
  readonly value: Quantity;
  readonly target: Quantity | null;
  readonly source: string;
}

function judge({ low, high, pressure }: Read, { value, target, source }: Published): IdentityVerdict {
  const findings: Problem[] = [];
  const workings: Working[] = [];
  let shift = 0;
  if (pressure === null || target === null) {
    const missing = pressure === null ? 'of the day' : 'of the published value';
    findings.push(finding('boiling-uncorrected', { missing }));
  } else {
    const corrected = boilingPointAt(high, pressure, target, 'unknown');
    if (!corrected.ok) return open([corrected.error]);
    workings.push(corrected.value);
    shift = corrected.value.result.value - high.value;
    findings.push(finding('boiling-corrected', { corrected: formatQuantity(corrected.value.result).text }));
  }
  const bottom = low.value + shift;
  const top = high.value + shift;
  const gap = top < value.value ? top - value.value : bottom > value.value ? bottom - value.value : 0;
  const agrees = Math.abs(gap) <= withinC;
  const distance = {
    value: gap,
    unit: 'Δ°C',
    standardUncertainty: null,
    significantFigures: Math.abs(gap) >= 10 ? 2 : 1,
  } as const;
  const facts = {
    literature: formatQuantity(value).text,
    source,
    by: formatQuantity({ ...distance, value: Math.abs(gap) }).text,
  };
  findings.push(finding(agrees ? 'boiling-agrees' : gap < 0 ? 'boiling-below' : 'boiling-above', facts));
  return {
    property: 'boiling',
    state: agrees ? 'agrees' : 'differs',
    findings,
    workings,
    distance,
    size: agrees ? 0 : Math.abs(gap) / (2 * withinC),
  };
}
