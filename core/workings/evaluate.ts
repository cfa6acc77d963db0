import { exponentOf } from '../quantity/uncertainty.ts';
import type { Expression } from './expression.ts';

/** Digits of an intermediate: the power of ten of its last significant digit, or exact. */
const exact = -Infinity;

/**
 * Working space for one expression, used again for the next: a table of twenty rows evaluates some
 * two hundred, and none of them outlives its caller.
 */
export interface Evaluation {
  readonly value: number;
  /** ∂(result)/∂(term), in the order of `expression.names`; only the first `names.length` hold. */
  readonly sensitivities: Float64Array;
  /** Power of ten of the last significant digit by the counting rules; −Infinity when exact. */
  readonly place: number;
  readonly usesProductRule: boolean;
  readonly usesSumRule: boolean;
  /** What went wrong, when `value` is not a number to show. */
  readonly fault: 'division-by-zero' | 'outside-domain' | 'too-large' | null;
}

let values = new Float64Array(64);
let adjoints = new Float64Array(64);
let places = new Float64Array(64);
let sensitivities = new Float64Array(32);

function reserve(operations: number, names: number): void {
  if (values.length < operations) {
    values = new Float64Array(operations * 2);
    adjoints = new Float64Array(operations * 2);
    places = new Float64Array(operations * 2);
  }
  if (sensitivities.length < names) sensitivities = new Float64Array(names * 2);
}

const { log10, abs, max } = Math;

/** Significant figures of a number whose last digit stands at 10^place. */
const figures = (value: number, place: number): number => max(1, exponentOf(value) - place + 1);

/**
 * Value, exact first derivatives (reverse accumulation: one sweep gives all of them) and the last
 * significant digit by the counting rules: the fewest figures decide a product, the coarsest
 * decimal place a sum, and as many decimals as the argument has figures a logarithm.
 *
 * @param termValues in the order of `expression.names`
 * @param termPlaces power of ten of each term's last digit, −Infinity for an exact one
 * @source figure rules: OpenStax Chemistry 2e, 1.5; logarithm: common practice, no source
 */
export function evaluate(
  expression: Expression,
  termValues: ArrayLike<number>,
  termPlaces: ArrayLike<number>,
): Evaluation {
  const { operations, names } = expression;
  const count = operations.length;
  reserve(count, names.length);
  let fault: Evaluation['fault'] = null;
  let usesProductRule = false;
  let usesSumRule = false;

  const productPlace = (index: number, left: number, right: number): number => {
    const leftPlace = places[left] as number;
    const rightPlace = places[right] as number;
    if (leftPlace === exact && rightPlace === exact) return exact;
    if (leftPlace !== exact && rightPlace !== exact) usesProductRule = true;
    const leftFigures = leftPlace === exact ? Infinity : figures(values[left] as number, leftPlace);
    const rightFigures = rightPlace === exact ? Infinity : figures(values[right] as number, rightPlace);
    return exponentOf(values[index] as number) - Math.min(leftFigures, rightFigures) + 1;
  };
  const sameFigures = (index: number, left: number): number => {
    const place = places[left] as number;
    if (place === exact) return exact;
    return exponentOf(values[index] as number) - figures(values[left] as number, place) + 1;
  };

  for (let index = 0; index < count; index += 1) {
    const operation = operations[index];
    if (operation === undefined) break;
    switch (operation.op) {
      case 'number':
        values[index] = operation.value;
        places[index] = exact;
        break;
      case 'term':
        values[index] = termValues[operation.term] as number;
        places[index] = termPlaces[operation.term] as number;
        break;
      case 'add':
      case 'subtract': {
        const left = values[operation.left] as number;
        const right = values[operation.right] as number;
        values[index] = operation.op === 'add' ? left + right : left - right;
        const leftPlace = places[operation.left] as number;
        const rightPlace = places[operation.right] as number;
        if (leftPlace !== exact && rightPlace !== exact) usesSumRule = true;
        places[index] = max(leftPlace, rightPlace);
        break;
      }
      case 'multiply':
        values[index] = (values[operation.left] as number) * (values[operation.right] as number);
        places[index] = productPlace(index, operation.left, operation.right);
        break;
      case 'divide': {
        const divisor = values[operation.right] as number;
        if (divisor === 0) fault ??= 'division-by-zero';
        values[index] = (values[operation.left] as number) / divisor;
        places[index] = productPlace(index, operation.left, operation.right);
        break;
      }
      case 'power': {
        const base = values[operation.left] as number;
        const exponent = values[operation.right] as number;
        if (base === 0 && exponent < 0) fault ??= 'division-by-zero';
        values[index] = base ** exponent;
        places[index] = productPlace(index, operation.left, operation.right);
        break;
      }
      case 'min':
      case 'max': {
        const left = values[operation.left] as number;
        const right = values[operation.right] as number;
        const isLeft = operation.op === 'min' ? left <= right : left >= right;
        values[index] = isLeft ? left : right;
        places[index] = places[isLeft ? operation.left : operation.right] as number;
        break;
      }
      case 'negate':
        values[index] = -(values[operation.left] as number);
        places[index] = places[operation.left] as number;
        break;
      case 'abs':
        values[index] = abs(values[operation.left] as number);
        places[index] = places[operation.left] as number;
        break;
      case 'sqrt':
        values[index] = Math.sqrt(values[operation.left] as number);
        places[index] = sameFigures(index, operation.left);
        break;
      case 'ln':
      case 'log10': {
        const argument = values[operation.left] as number;
        if (argument <= 0) fault ??= 'outside-domain';
        values[index] = operation.op === 'ln' ? Math.log(argument) : log10(argument);
        const place = places[operation.left] as number;
        places[index] = place === exact ? exact : -figures(argument, place);
        break;
      }
      case 'exp': {
        values[index] = Math.exp(values[operation.left] as number);
        const place = places[operation.left] as number;
        // The converse of the rule for logarithms: the decimals of the exponent become figures.
        places[index] = place === exact ? exact : exponentOf(values[index] as number) - max(1, -place) + 1;
        break;
      }
    }
    if (fault === null && !Number.isFinite(values[index])) {
      fault = Number.isNaN(values[index]) ? 'outside-domain' : 'too-large';
    }
    if (fault !== null) break;
  }
  if (fault !== null) {
    return { value: NaN, sensitivities, place: exact, usesProductRule, usesSumRule, fault };
  }
  differentiate(expression);
  return {
    value: values[count - 1] as number,
    sensitivities,
    place: places[count - 1] as number,
    usesProductRule,
    usesSumRule,
    fault,
  };
}

/** Backward sweep over the values just computed. */
function differentiate({ operations, names }: Expression): void {
  const count = operations.length;
  adjoints.fill(0, 0, count);
  sensitivities.fill(0, 0, names.length);
  adjoints[count - 1] = 1;
  const give = (to: number, amount: number): void => {
    adjoints[to] = (adjoints[to] as number) + amount;
  };
  for (let index = count - 1; index >= 0; index -= 1) {
    const operation = operations[index];
    const weight = adjoints[index] as number;
    if (operation === undefined || weight === 0) continue;
    switch (operation.op) {
      case 'number':
        break;
      case 'term':
        sensitivities[operation.term] = (sensitivities[operation.term] as number) + weight;
        break;
      case 'add':
        give(operation.left, weight);
        give(operation.right, weight);
        break;
      case 'subtract':
        give(operation.left, weight);
        give(operation.right, -weight);
        break;
      case 'multiply':
        give(operation.left, weight * (values[operation.right] as number));
        give(operation.right, weight * (values[operation.left] as number));
        break;
      case 'divide': {
        const divisor = values[operation.right] as number;
        give(operation.left, weight / divisor);
        give(operation.right, (-weight * (values[index] as number)) / divisor);
        break;
      }
      case 'power': {
        const base = values[operation.left] as number;
        const exponent = values[operation.right] as number;
        give(operation.left, weight * exponent * base ** (exponent - 1));
        // A constant exponent is the usual case, and ln of a negative base would spoil it.
        if (operations[operation.right]?.op !== 'number') {
          give(operation.right, weight * (values[index] as number) * Math.log(base));
        }
        break;
      }
      case 'min':
      case 'max': {
        const left = values[operation.left] as number;
        const right = values[operation.right] as number;
        give(
          (operation.op === 'min' ? left <= right : left >= right) ? operation.left : operation.right,
          weight,
        );
        break;
      }
      case 'negate':
        give(operation.left, -weight);
        break;
      case 'abs':
        give(operation.left, (values[operation.left] as number) < 0 ? -weight : weight);
        break;
      case 'sqrt':
        give(operation.left, weight / (2 * (values[index] as number)));
        break;
      case 'ln':
        give(operation.left, weight / (values[operation.left] as number));
        break;
      case 'log10':
        give(operation.left, weight / ((values[operation.left] as number) * Math.LN10));
        break;
      case 'exp':
        give(operation.left, weight * (values[index] as number));
        break;
    }
  }
}
