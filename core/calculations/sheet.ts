import { molarMassWorking } from '../formula/molar-mass.ts';
import { convert } from '../quantity/convert.ts';
import { parseEntered } from '../quantity/entered.ts';
import type { Entered, Quantity } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { WorksheetInput } from '../record/content.ts';
import type { Problem } from '../result.ts';
import type { Derivation } from '../workings/derive.ts';
import { derive } from '../workings/derive.ts';
import { constantTerm, enteredTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import type { Calculation, CalculationField, CalculationInputs, Outcome, Statement } from './calculation.ts';

/** A derivation in which a term may be missing; then the result is missing too, and nothing else is said. */
type OpenDerivation = Omit<Derivation, 'terms'> & { readonly terms: readonly (WorkingTerm | null)[] };

type Definition = Omit<Calculation, 'work'> & { readonly solve: (sheet: Sheet) => void };

const isEntered = (input: WorksheetInput | undefined): input is Entered =>
  typeof input === 'object' && input !== null && 'text' in input;

/** A line that nobody has written in yet counts for nothing. */
const isBlankLine = (line: Readonly<Record<string, Entered | string>>): boolean =>
  Object.values(line).every((input) => (isEntered(input) ? input.text : input).trim() === '');

/**
 * What a calculation writes on while it is worked: reads typed fields into terms, derives, collects
 * answers, sentences and problems. A field that is missing or wrong is reported once and blocks only
 * what needs it.
 */
export class Sheet {
  readonly workings: Working[] = [];
  readonly answers: string[] = [];
  readonly statements: Statement[] = [];
  readonly problems: Problem[] = [];
  readonly #fields: readonly CalculationField[];
  readonly #inputs: CalculationInputs;

  constructor(fields: readonly CalculationField[], inputs: CalculationInputs) {
    this.#fields = fields;
    this.#inputs = inputs;
  }

  /**
   * The quantity typed into a field as a term, in the field's own unit (or `unit`), so that a formula
   * can count on it. Null when blank or wrong; a blank optional field is no problem.
   */
  term(key: string, symbol: string, unit?: UnitSymbol): WorkingTerm | null {
    const field = this.#fields.find((one) => one.key === key);
    if (field?.kind !== 'quantity') throw new Error(`no quantity field ${key}`);
    const quantity = this.#quantity(this.#inputs[key], field.dimension, key, field.isOptional, field.label);
    if (quantity === null) return null;
    return enteredTerm(key, symbol, field.label, convert(quantity, unit ?? field.unit), key);
  }

  /** The key chosen; an unknown or missing choice is a problem and gives the first option's key nowhere. */
  choice(key: string): string | null {
    const field = this.#fields.find((one) => one.key === key);
    if (field?.kind !== 'choice') throw new Error(`no choice field ${key}`);
    const input = this.#inputs[key];
    if (typeof input === 'string' && field.options.some((option) => option.key === input)) return input;
    this.problem(input === undefined || input === '' ? 'choice-missing' : 'choice-unknown', key, {
      label: field.label,
    });
    return null;
  }

  /** Text typed into a formula field; null when blank (a problem unless optional). */
  formulaText(key: string): string | null {
    const field = this.#fields.find((one) => one.key === key);
    if (field?.kind !== 'formula') throw new Error(`no formula field ${key}`);
    const input = this.#inputs[key];
    if (typeof input === 'string' && input.trim() !== '') return input.trim();
    if (!field.isOptional) this.problem('field-missing', key, { label: field.label });
    return null;
  }

  /** Molar mass, g/mol, of the formula typed into a field, with its own working; a fault keeps its position. */
  molarMass(key: string, termKey: string, symbol: string): WorkingTerm | null {
    const text = this.formulaText(key);
    if (text === null) return null;
    const working = molarMassWorking(text);
    if (!working.ok) {
      this.problems.push({ ...working.error, where: key });
      return null;
    }
    if (!this.workings.some((one) => one.id === working.value.id)) this.workings.push(working.value);
    return workingTerm(termKey, symbol, `molar mass of ${text}`, working.value);
  }

  /** Rows of a series as terms by column key (`reading_0`, `reading_1` …); null unless every row reads well. */
  series(
    key: string,
    symbols: Readonly<Record<string, string>>,
  ): readonly Record<string, WorkingTerm>[] | null {
    const field = this.#fields.find((one) => one.key === key);
    if (field?.kind !== 'series') throw new Error(`no series field ${key}`);
    const input = this.#inputs[key];
    const rows = Array.isArray(input) ? (input as readonly Readonly<Record<string, Entered | string>>[]) : [];
    let isWhole = true;
    const written = rows.slice(0, 200).flatMap((row, index) => (isBlankLine(row) ? [] : [{ row, index }]));
    const read = written.map(({ row, index }) => {
      const terms: Record<string, WorkingTerm> = {};
      for (const column of field.columns) {
        const where = `${key}.${index}.${column.key}`;
        const quantity = this.#quantity(row[column.key], column.dimension, where, false, column.label);
        if (quantity === null) {
          isWhole = false;
          continue;
        }
        terms[column.key] = enteredTerm(
          `${column.key}_${index}`,
          `${symbols[column.key] ?? column.key}_{${index + 1}}`,
          `${column.label}, line ${index + 1}`,
          convert(quantity, column.unit),
          where,
        );
      }
      return terms;
    });
    if (read.length < field.atLeast) {
      this.problem('series-too-short', key, { label: field.label, least: field.atLeast });
      return null;
    }
    return isWhole ? read : null;
  }

  /** True when something was typed into the field. */
  isFilled(key: string): boolean {
    const input = this.#inputs[key];
    if (isEntered(input)) return input.text.trim() !== '';
    return input !== undefined && input.length > 0;
  }

  /** Derives, keeps the working, and hands it on; null when a term is missing or the result does not exist. */
  derive(derivation: OpenDerivation): Working | null {
    const terms: WorkingTerm[] = [];
    for (const term of derivation.terms) {
      if (term === null) return null;
      terms.push(term);
    }
    const result = derive({ ...derivation, terms });
    if (!result.ok) {
      this.problems.push(result.error);
      return null;
    }
    this.workings.push(result.value);
    return result.value;
  }

  /** As `derive`, and the result answers the question that the calculation asks. */
  answer(derivation: OpenDerivation): Working | null {
    const working = this.derive(derivation);
    if (working !== null) this.answers.push(working.id);
    return working;
  }

  say(tone: Statement['tone'], text: string): void {
    this.statements.push({ tone, text });
  }

  problem(code: string, where: string, facts: Problem['facts'] = {}): void {
    if (!this.problems.some((one) => one.code === code && one.where === where)) {
      this.problems.push({ code, where, facts });
    }
  }

  #quantity(
    input: WorksheetInput | undefined,
    dimension: Dimension,
    where: string,
    isOptional: boolean,
    label: string,
  ): Quantity | null {
    if (input === undefined || (isEntered(input) && input.text.trim() === '')) {
      if (!isOptional) this.problem('field-missing', where, { label });
      return null;
    }
    if (!isEntered(input)) {
      this.problem('field-malformed', where, { label });
      return null;
    }
    const parsed = parseEntered(input, dimension, where);
    if (parsed.ok) return parsed.value;
    if (!this.problems.some((one) => one.where === where)) this.problems.push(parsed.error);
    return null;
  }
}

/** Makes a calculation from its fields and the way it is solved. */
export function defineCalculation({ solve, ...rest }: Definition): Calculation {
  return {
    ...rest,
    work(inputs): Outcome {
      const sheet = new Sheet(rest.fields, inputs);
      solve(sheet);
      return {
        workings: sheet.workings,
        answers: sheet.answers,
        statements: sheet.statements,
        problems: sheet.problems,
      };
    },
  };
}

/** A number of the trade in a term: a constant with its source and the figures it deserves. */
export const approximate = (
  key: string,
  symbol: string,
  meaning: string,
  value: number,
  unit: UnitSymbol,
  significantFigures: number,
  citation: string,
): WorkingTerm =>
  constantTerm(
    key,
    symbol,
    meaning,
    { value, unit, standardUncertainty: null, significantFigures },
    citation,
  );

const enteredUnit =
  (unit: UnitSymbol) =>
  (text: string): Entered => ({ text, unit });

/** Short forms for the field lists and their examples. */
export const field = {
  quantity: (
    key: string,
    label: string,
    dimension: Dimension,
    unit: UnitSymbol,
    hint = '',
    isOptional = false,
  ): CalculationField => ({ kind: 'quantity', key, label, dimension, unit, isOptional, hint }),
  choice: (
    key: string,
    label: string,
    options: Readonly<Record<string, string>>,
    hint = '',
  ): CalculationField => ({
    kind: 'choice',
    key,
    label,
    options: Object.entries(options).map(([option, words]) => ({ key: option, label: words })),
    hint,
  }),
  formula: (key: string, label: string, hint = '', isOptional = false): CalculationField => ({
    kind: 'formula',
    key,
    label,
    isOptional,
    hint,
  }),
  series: (
    key: string,
    label: string,
    atLeast: number,
    columns: readonly (readonly [string, string, Dimension, UnitSymbol])[],
    hint = '',
  ): CalculationField => ({
    kind: 'series',
    key,
    label,
    atLeast,
    columns: columns.map(([column, words, dimension, unit]) => ({
      key: column,
      label: words,
      dimension,
      unit,
    })),
    hint,
  }),
  entered: enteredUnit,
};
