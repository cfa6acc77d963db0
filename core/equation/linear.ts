/** Exact linear algebra on small matrices of whole numbers: no rounding, no tolerance. */

export type Row = bigint[];

const absolute = (a: bigint): bigint => (a < 0n ? -a : a);
export function gcdOf(a: bigint, b: bigint): bigint {
  let [x, y] = [absolute(a), absolute(b)];
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}

function shrink(row: Row): void {
  let common = 0n;
  for (const value of row) common = gcdOf(common, value);
  if (common > 1n) for (let i = 0; i < row.length; i += 1) row[i] = (row[i] ?? 0n) / common;
}

/**
 * Independent solutions of A x = 0 by fraction-free elimination; each in lowest whole numbers.
 * `pivots[k]` expresses one unknown by the free ones: divisor · x[column] = −Σ row[j] · x[j].
 */
export interface Solutions {
  readonly free: readonly number[];
  readonly pivots: readonly { readonly column: number; readonly row: readonly bigint[] }[];
}

export function solveHomogeneous(matrix: readonly (readonly bigint[])[], columns: number): Solutions {
  const rows: Row[] = matrix.map((row) => [...row]);
  const pivots: { column: number; row: Row }[] = [];
  let next = 0;
  for (let column = 0; column < columns && next < rows.length; column += 1) {
    const found = rows.findIndex((row, index) => index >= next && row[column] !== 0n);
    if (found < 0) continue;
    const pivot = rows[found] as Row;
    rows[found] = rows[next] as Row;
    rows[next] = pivot;
    if ((pivot[column] ?? 0n) < 0n) for (let i = 0; i < columns; i += 1) pivot[i] = -(pivot[i] ?? 0n);
    shrink(pivot);
    for (const row of rows) {
      const factor = row[column] ?? 0n;
      if (row === pivot || factor === 0n) continue;
      const head = pivot[column] ?? 1n;
      for (let i = 0; i < columns; i += 1) row[i] = (row[i] ?? 0n) * head - (pivot[i] ?? 0n) * factor;
      shrink(row);
    }
    pivots.push({ column, row: pivot });
    next += 1;
  }
  const taken = new Set(pivots.map((one) => one.column));
  const free = Array.from({ length: columns }, (_, index) => index).filter((index) => !taken.has(index));
  return { free, pivots };
}

/** The solution with one free unknown at 1 and the others at 0, in lowest whole numbers. */
export function basisVector({ free, pivots }: Solutions, which: number, columns: number): bigint[] {
  const column = free[which] ?? 0;
  let common = 1n;
  for (const { column: own, row } of pivots) {
    const head = row[own] ?? 1n;
    const part = head / gcdOf(head, row[column] ?? 0n);
    common = (common / gcdOf(common, part)) * part;
  }
  const vector: bigint[] = Array.from({ length: columns }, () => 0n);
  vector[column] = common;
  for (const { column: own, row } of pivots) vector[own] = (-(row[column] ?? 0n) * common) / (row[own] ?? 1n);
  shrink(vector);
  return vector;
}

interface Fraction {
  readonly n: bigint;
  readonly d: bigint;
}
const fraction = (n: bigint, d: bigint): Fraction => {
  const common = gcdOf(n, d) || 1n;
  return d < 0n ? { n: -n / common, d: -d / common } : { n: n / common, d: d / common };
};
const minus = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d - b.n * a.d, a.d * b.d);
const times = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.n, a.d * b.d);
const over = (a: Fraction, b: Fraction): Fraction => fraction(a.n * b.d, a.d * b.n);
const isLess = (a: Fraction, b: Fraction): boolean => a.n * b.d < b.n * a.d;

/**
 * A solution of A x = 0 with every x ≥ 1, or null when there is none: exact simplex, phase one, with
 * Bland's rule, which cannot run in circles. With x = 1 + y this asks for y ≥ 0, A y = −A·1.
 */
export function positiveSolution(matrix: readonly (readonly bigint[])[], columns: number): bigint[] | null {
  const rows = matrix.map((row) => {
    const right = -row.reduce((sum, value) => sum + value, 0n);
    const sign = right < 0n ? -1n : 1n;
    return [...row.map((value) => fraction(value * sign, 1n)), fraction(right * sign, 1n)];
  });
  const zero = fraction(0n, 1n);
  const basis = rows.map((_, index) => columns + index);
  // The artificial variables need no columns: they only ever leave.
  const cost = Array.from({ length: columns + 1 }, (_, j) =>
    rows.reduce((sum, row) => minus(sum, row[j] ?? zero), zero),
  );
  for (;;) {
    const entering = cost.findIndex((value, j) => j < columns && value.n < 0n);
    if (entering < 0) break;
    let leaving = -1;
    let least: Fraction | null = null;
    for (const [i, row] of rows.entries()) {
      const head = row[entering] ?? zero;
      if (head.n <= 0n) continue;
      const ratio = over(row[columns] ?? zero, head);
      const isTie = least !== null && !isLess(least, ratio) && !isLess(ratio, least);
      if (least === null || isLess(ratio, least) || (isTie && (basis[i] ?? 0) < (basis[leaving] ?? 0))) {
        least = ratio;
        leaving = i;
      }
    }
    if (leaving < 0) break;
    pivot(rows, cost, leaving, entering);
    basis[leaving] = entering;
  }
  if ((cost[columns] ?? zero).n !== 0n) return null;
  const shifted = Array.from({ length: columns }, () => zero);
  for (const [i, column] of basis.entries()) {
    if (column < columns) shifted[column] = rows[i]?.[columns] ?? zero;
  }
  const common = shifted.reduce((all, one) => (all / gcdOf(all, one.d)) * one.d, 1n);
  const whole = shifted.map((one) => common + (one.n * common) / one.d);
  shrink(whole);
  return whole;
}

function pivot(rows: Fraction[][], cost: Fraction[], leaving: number, entering: number): void {
  const own = rows[leaving] as Fraction[];
  const head = own[entering] as Fraction;
  for (let j = 0; j < own.length; j += 1) own[j] = over(own[j] as Fraction, head);
  for (const row of [...rows, cost]) {
    if (row === own) continue;
    const factor = row[entering] as Fraction;
    if (factor.n === 0n) continue;
    for (let j = 0; j < row.length; j += 1)
      row[j] = minus(row[j] as Fraction, times(factor, own[j] as Fraction));
  }
}
