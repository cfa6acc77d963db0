import type { Problem } from '../result.ts';
import type { Balance, Conserved, Equation, Species } from './equation.ts';
import { basisVector, gcdOf, solveHomogeneous } from './linear.ts';
import { smallestSolution } from './smallest-solution.ts';

const fact = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: 'equation', facts });

/** Element, isotope and charge rows; a species counts positive on the left, negative on the right. */
interface Table {
  readonly names: readonly string[];
  readonly rows: readonly (readonly bigint[])[];
}

function tableOf(species: readonly Species[]): Table {
  const rows = new Map<string, bigint[]>();
  const rowOf = (name: string): bigint[] => {
    const known = rows.get(name);
    if (known !== undefined) return known;
    const fresh = species.map(() => 0n);
    rows.set(name, fresh);
    return fresh;
  };
  // Hydrate numbers may be fractions: over the common denominator of all species every count is whole.
  const common = species.reduce((all, { formula }) => lcm(all, BigInt(formula.denominator)), 1n);
  for (const [index, { formula, side }] of species.entries()) {
    const sign = side === 'left' ? 1n : -1n;
    const scale = sign * (common / BigInt(formula.denominator));
    for (const { element, massNumber, atoms } of formula.elements) {
      rowOf(`${massNumber ?? ''}${element}`)[index] = BigInt(atoms) * scale;
    }
    if (formula.charge !== 0) rowOf('charge')[index] = BigInt(formula.charge) * sign * common;
  }
  return { names: [...rows.keys()], rows: [...rows.values()] };
}

const lcm = (a: bigint, b: bigint): bigint => (a / gcdOf(a, b)) * b;

/** Typed coefficients as whole numbers in their typed ratio; a blank counts one. */
function typedCoefficients(species: readonly Species[]): bigint[] {
  const common = species.reduce((all, { typed }) => lcm(all, BigInt(typed?.denominator ?? 1)), 1n);
  return species.map(
    ({ typed }) => (BigInt(typed?.numerator ?? 1) * common) / BigInt(typed?.denominator ?? 1),
  );
}

/** Both sides of every row for the equation as typed, in atoms per equation as it stands. */
function compare(species: readonly Species[], names: readonly string[]): Conserved[] {
  return names.map((what) => {
    const side = { left: 0, right: 0 };
    for (const one of species) {
      const factor = (one.typed?.numerator ?? 1) / (one.typed?.denominator ?? 1);
      const count =
        what === 'charge'
          ? one.formula.charge
          : (one.formula.elements.find((atom) => `${atom.massNumber ?? ''}${atom.element}` === what)?.count ??
            0);
      side[one.side] += factor * count;
    }
    return { what, ...side };
  });
}

const product = (row: readonly bigint[], vector: readonly bigint[]): bigint =>
  row.reduce((sum, value, index) => sum + value * (vector[index] ?? 0n), 0n);

/**
 * Balances an equation in exact whole numbers over elements, isotopes and charge.
 *
 * An equation that balances as typed is kept as typed. Otherwise the smallest positive whole numbers
 * are given, by largest coefficient and then by sum. Where solutions are several and independent this
 * is said, since chemistry and not arithmetic must choose between them.
 *
 * Never hangs: elimination is finite, and the search for the smallest solution counts its steps.
 *
 * @source conservation of atoms and charge; any text on stoichiometry
 */
export function balance(equation: Equation): Balance {
  const { species } = equation;
  const { names, rows } = tableOf(species);
  const typed = typedCoefficients(species);
  const isBalanced = rows.every((row) => product(row, typed) === 0n);
  const solutions = solveHomogeneous(rows, species.length);
  const independentSolutions = solutions.free.length;
  const notes = sharedNotes(species);
  if (isBalanced) {
    if (independentSolutions > 1) notes.push(fact('other-solutions', { independent: independentSolutions }));
    const coefficients = typed.map(Number);
    return { kind: 'as-typed', coefficients, independentSolutions, imbalance: [], explanation: notes };
  }
  const outOfBalance = (index: number): boolean => product(rows[index] ?? [], typed) !== 0n;
  const imbalance = compare(species, names).filter((_, index) => outOfBalance(index));
  const impossible = (why: readonly Problem[]): Balance => ({
    kind: 'impossible',
    coefficients: [],
    independentSolutions,
    imbalance,
    explanation: [...why, ...notes],
  });

  const oneSided = rowsOnOneSide(names, rows);
  if (oneSided.length > 0) return impossible(oneSided);
  if (independentSolutions === 0) return impossible([fact('no-solution')]);
  if (independentSolutions === 1) {
    const vector = basisVector(solutions, 0, species.length);
    const sign = vector.some((value) => value > 0n) ? 1n : -1n;
    const unfit = species.filter((_, index) => (vector[index] ?? 0n) * sign <= 0n);
    if (unfit.length > 0) return impossible(unfit.map((one) => misplaced(one, vector, species, sign)));
    const coefficients = vector.map((value) => Number(value * sign));
    if (!coefficients.every(Number.isSafeInteger)) return impossible([fact('coefficients-too-large')]);
    return { kind: 'unique', coefficients, independentSolutions, imbalance, explanation: notes };
  }
  const smallest = smallestSolution(rows, solutions, species.length);
  if (smallest === null) return impossible([fact('no-positive-solution')]);
  notes.push(fact('other-solutions', { independent: independentSolutions }));
  if (!smallest.isProven) notes.push(fact('smallest-not-proven'));
  return {
    kind: 'not-unique',
    coefficients: smallest.coefficients,
    independentSolutions,
    imbalance,
    explanation: notes,
  };
}

function misplaced(
  one: Species,
  vector: readonly bigint[],
  species: readonly Species[],
  sign: bigint,
): Problem {
  const value = (vector[species.indexOf(one)] ?? 0n) * sign;
  return fact(value === 0n ? 'species-takes-no-part' : 'species-on-wrong-side', { species: one.text });
}

/** Elements that only one side has: the usual reason, and the easiest to mend. */
function rowsOnOneSide(names: readonly string[], rows: Table['rows']): Problem[] {
  return names.flatMap((what, index) => {
    const row = rows[index] ?? [];
    const hasPositive = row.some((value) => value > 0n);
    const hasNegative = row.some((value) => value < 0n);
    if (hasPositive && hasNegative) return [];
    if (what === 'charge') return [fact('charge-one-sided')];
    return [fact('element-one-sided', { element: what, side: hasPositive ? 'left' : 'right' })];
  });
}

/** The same formula on both sides is legitimate for isomers and is usually a slip otherwise. */
function sharedNotes(species: readonly Species[]): Problem[] {
  const right = species.filter((one) => one.side === 'right');
  return species
    .filter((one) => one.side === 'left' && right.some((other) => other.text === one.text))
    .map((one) => fact('same-formula-both-sides', { species: one.text }));
}
