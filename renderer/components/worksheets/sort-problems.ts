import type { CalculationField } from '../../../core/calculations/calculation.ts';
import type { Problem } from '../../../core/result.ts';

/** Nothing is wrong yet: something is not written yet. */
const blankCodes: ReadonlySet<string> = new Set(['field-missing', 'choice-missing', 'series-too-short']);

export interface SortedProblems {
  /** By field key, and for a line of a series by `key.line.column`. */
  readonly beside: ReadonlyMap<string, readonly Problem[]>;
  /** Labels of what is not written yet, in the order of the form. */
  readonly blank: readonly string[];
  /** Faults of the calculation as a whole. */
  readonly general: readonly Problem[];
}

const labelOf = ({ where, facts }: Problem, fields: readonly CalculationField[]): string => {
  const [key = '', line] = where.split('.');
  const field = fields.find((one) => one.key === key);
  if (field === undefined) return String(facts['label'] ?? where);
  if (line === undefined) return field.label;
  return `${String(facts['label'] ?? '')} in line ${Number(line) + 1} of ${field.label}`;
};

/** Sorts what a calculation complains about by where it is shown. */
export function sortProblems(
  problems: readonly Problem[],
  fields: readonly CalculationField[],
): SortedProblems {
  const beside = new Map<string, Problem[]>();
  const blank: string[] = [];
  const general: Problem[] = [];
  const keys = new Set(fields.map((field) => field.key));
  for (const problem of problems) {
    const key = problem.where.split('.')[0] ?? '';
    if (blankCodes.has(problem.code)) blank.push(labelOf(problem, fields));
    else if (keys.has(key)) beside.set(problem.where, [...(beside.get(problem.where) ?? []), problem]);
    else general.push(problem);
  }
  return { beside, blank: [...new Set(blank)], general };
}

/** Problems of a field and of everything inside it. */
export const problemsUnder = (
  { beside }: SortedProblems,
  key: string,
): readonly { readonly where: string; readonly problem: Problem }[] =>
  [...beside]
    .filter(([where]) => where === key || where.startsWith(`${key}.`))
    .flatMap(([where, list]) => list.map((problem) => ({ where, problem })));
