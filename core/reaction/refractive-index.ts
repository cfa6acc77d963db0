import { formatNumber, formatQuantity } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { exponentOf } from '../quantity/uncertainty.ts';
import type { LiteratureValues, ResultRecord } from '../record/content.ts';
import type { Problem, Result } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, enteredTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { FieldReader, unreadable } from './identity.ts';
import type { IdentityVerdict } from './identity.ts';

const at = 'result.refractiveIndex';
const finding = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: at, facts });

/** Distance that a bench refractometer and the correction together allow. Common practice, no source. */
const within = 0.001;
/** Further apart the coefficient itself is too uncertain, °C. Common practice, no source. */
const ruleReachesC = 15;

// From memory; any practical text of organic chemistry has it.
const coefficient = {
  value: 0.00045,
  unit: '1/°C',
  standardUncertainty: null,
  significantFigures: 2,
} as const;

/**
 * Refractive index of an organic liquid at another temperature: n(t₂) = n(t₁) + 0.00045 (t₁ − t₂).
 *
 * @param read index as read, number
 * @param temperature at which it was read, °C
 * @param target temperature wanted, °C, usually 20
 * @returns a number
 * @error refraction-temperature-too-far: more than 15 °C apart (facts: reach)
 * @source coefficient from memory; any practical text of organic chemistry
 */
export function refractiveIndexAt(
  read: Quantity,
  temperature: Quantity,
  target: Quantity,
): Result<Working, Problem> {
  if (!(Math.abs(temperature.value - target.value) <= ruleReachesC)) {
    return { ok: false, error: finding('refraction-temperature-too-far', { reach: ruleReachesC }) };
  }
  return derive({
    id: 'refractive-index-corrected',
    title: 'Refractive index at the temperature of the published value',
    symbol: 'n_{D}',
    formula: 'n + a * (t - t_lit)',
    display: 'n_{D} = n + a · (t − t_{lit})',
    terms: [
      enteredTerm('n', 'n', 'refractive index as read', read, `${at}.value`),
      constantTerm(
        'a',
        'a',
        'change of the index of organic liquids with temperature',
        coefficient,
        'usual mean value for organic liquids',
      ),
      enteredTerm('t', 't', 'temperature of the prism', temperature, `${at}.temperature`),
      constantTerm('t_lit', 't_{lit}', 'temperature of the published value', target, 'published value'),
    ],
    unit: '1',
    citation: 'linear correction with 0.00045 per °C',
    where: at,
    // The index is printed as the refractometer shows it.
    figures: read.significantFigures,
  });
}

/** Below this a refractive index says little: liquids differ in the third decimal. Common practice, no source. */
const usualDecimals = 3;
const decimalsOf = ({ value, significantFigures }: Quantity): number =>
  (significantFigures ?? 5) - 1 - exponentOf(value);

/**
 * Judges a refractive index against the published one, at its temperature, each as finely as it was given.
 *
 * @returns null when nothing was entered
 * @error among the findings: refraction-no-temperature, refraction-no-literature,
 *   refraction-temperature-too-far, refraction-absurd (outside 1 to 2.5), the codes of
 *   `parseEntered`; otherwise refraction-agrees or refraction-differs
 */
export function evaluateRefraction(
  measured: ResultRecord['refractiveIndex'],
  literature: LiteratureValues['refractiveIndex'],
): IdentityVerdict | null {
  const reader = new FieldReader();
  const read = reader.read(measured.value, 'number', '1', `${at}.value`);
  const temperature = reader.read(measured.temperature, 'temperature', '°C', `${at}.temperature`);
  if (reader.problems.length > 0) return unreadable('refraction', reader.problems);
  if (read === null) return null;
  if (!(read.value >= 1 && read.value <= 2.5)) {
    return unreadable('refraction', [finding('refraction-absurd', { value: formatQuantity(read).text })]);
  }
  if (literature === null) return open([finding('refraction-no-literature')]);
  const value = reader.read(literature.value, 'number', '1', 'literature.refractiveIndex.value');
  const target = reader.read(
    literature.temperature,
    'temperature',
    '°C',
    'literature.refractiveIndex.temperature',
  );
  if (value === null || target === null) {
    return open(reader.problems.length > 0 ? reader.problems : [finding('refraction-no-literature')]);
  }
  if (temperature === null) return open([finding('refraction-no-temperature')]);
  const corrected = refractiveIndexAt(read, temperature, target);
  if (!corrected.ok) return open([corrected.error]);
  const { result } = corrected.value;
  const difference = result.value - value.value;
  const places = Math.min(decimalsOf(read), decimalsOf(value));
  // "1.40" may stand for anything from 1.395 to 1.405; it is no finer than that, and neither is a reading.
  const slack = 0.5 * (10 ** -decimalsOf(read) + 10 ** -decimalsOf(value));
  const agrees = Math.abs(difference) <= within + slack;
  const facts = {
    corrected: formatNumber(result.value, result.significantFigures),
    at: formatQuantity(target).text,
    literature: formatQuantity(value).text,
    by: Math.abs(difference).toFixed(Math.min(Math.max(places, 0), 4)),
    coarse: places < usualDecimals ? (decimalsOf(value) < usualDecimals ? 'published' : 'read') : '',
    decimals: places,
    side: difference < 0 ? 'below' : 'above',
    source: literature.source.trim() || 'source not named',
  };
  return {
    property: 'refraction',
    state: agrees ? 'agrees' : 'differs',
    findings: [finding(agrees ? 'refraction-agrees' : 'refraction-differs', facts)],
    workings: [corrected.value],
    distance: { value: difference, unit: '1', standardUncertainty: null, significantFigures: 2 },
    size: agrees ? 0 : (Math.abs(difference) - slack) / (3 * within),
  };
}

const open = (findings: readonly Problem[]): IdentityVerdict => ({
  property: 'refraction',
  state: 'open',
  findings,
  workings: [],
  distance: null,
  size: 0,
});
