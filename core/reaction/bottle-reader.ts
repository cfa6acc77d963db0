import { hillFormula } from '../formula/hill.ts';
import { molarMassWorking } from '../formula/molar-mass.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import { workingTerm } from '../workings/term.ts';
import type { WorkingTerm } from '../workings/working.ts';
import { asFraction, isBlank, readConstant, typedTerm } from './entered-value.ts';
import type { TypedValue } from './entered-value.ts';
import { inRow, rowLabel, rowPath, rowProblem } from './place.ts';
import { isBlocked } from './relation.ts';
import type { Blocked } from './relation.ts';
import type { ReagentRow } from './table-types.ts';

const exact = ({ quantity }: TypedValue): TypedValue => ({
  quantity: { ...quantity, standardUncertainty: 0, significantFigures: null },
  contributions: [],
});

/**
 * A titration may give a little over 1; a substance that lost crystal water gives more, and then it is
 * another substance. Common practice, no source.
 */
const highestAssay = 1.1;

/** Reads one row's bottle; a missing or wrong field is named once and blocks only what needs it. */
export class BottleReader {
  readonly problems: Problem[] = [];
  private readonly row: ReagentRow;

  constructor(row: ReagentRow) {
    this.row = row;
  }

  private blocked(problem: Problem): Blocked {
    const known = this.problems.find((one) => one.code === problem.code && one.where === problem.where);
    if (known === undefined) this.problems.push(problem);
    return { state: 'blocked', problems: [known ?? problem] };
  }

  private missing(field: string, code: string): Blocked {
    return this.blocked(rowProblem(this.row, field, code));
  }

  /** A typed constant as a term, or what blocks it. `code` is used when the field is empty. */
  private constant(
    entered: Entered | null,
    field: string,
    code: string,
    dimension: Dimension | readonly Dimension[],
    unit: UnitSymbol,
    term: { readonly key: string; readonly symbol: string; readonly meaning: string },
    adjust: (value: TypedValue) => TypedValue = (value) => value,
  ): WorkingTerm | Blocked {
    if (entered === null || isBlank(entered)) return this.missing(field, code);
    const where = rowPath(this.row.id, field);
    const meaning = `${term.meaning} ${rowLabel(this.row)}`;
    const read = readConstant(entered, dimension, unit, where, meaning);
    if (!read.ok) return this.blocked(inRow(this.row, field, read.error));
    if (read.value.quantity.value === 0) return this.blocked(rowProblem(this.row, field, 'constant-zero'));
    return typedTerm(term.key, term.symbol, meaning, adjust(read.value), where);
  }

  molarMass(): WorkingTerm | Blocked {
    const working = molarMassWorking(this.row.formula);
    if (!working.ok) return this.blocked(inRow(this.row, 'formula', working.error));
    if (!(working.value.result.value > 0)) {
      return this.blocked(rowProblem(this.row, 'formula', 'formula-missing'));
    }
    return workingTerm('M', 'M', `molar mass of ${rowLabel(this.row)}`, working.value);
  }

  assay(entered: Entered | null): WorkingTerm | Blocked {
    const term = this.constant(
      entered,
      'supply.assay',
      'missing-assay',
      ['fraction', 'mass-fraction'],
      '%',
      { key: 'w', symbol: 'w', meaning: 'assay (mass fraction) of' },
      asFraction,
    );
    if (entered === null || isBlocked(term) || !(term.quantity.value > highestAssay)) return term;
    const assay = entered.text.trim();
    return this.blocked(rowProblem(this.row, 'supply.assay', 'assay-too-high', { assay }));
  }

  density(entered: Entered | null, field: string, meaning = 'density of'): WorkingTerm | Blocked {
    const code = field === 'supply.strength.neatDensity' ? 'missing-neat-density' : 'missing-density';
    return this.constant(entered, field, code, 'density', 'g/mL', { key: 'rho', symbol: 'ρ', meaning });
  }

  strength(
    entered: Entered,
    dimension: Dimension | readonly Dimension[],
    unit: UnitSymbol,
    key: string,
    symbol: string,
    meaning: string,
    adjust?: (value: TypedValue) => TypedValue,
  ): WorkingTerm | Blocked {
    const term = { key, symbol, meaning };
    return this.constant(entered, 'supply.strength', 'missing-strength', dimension, unit, term, adjust);
  }

  factor(entered: Entered | null): WorkingTerm | Blocked {
    return this.constant(
      entered,
      'supply.strength.equivalenceFactor',
      'missing-equivalence-factor',
      ['equivalence', 'number'],
      'eq/mol',
      { key: 'z', symbol: 'z', meaning: 'equivalents per mole of' },
      // A count of protons or electrons.
      exact,
    );
  }

  /** Parts of a mixture are chosen, not measured for the table: exact as they stand. */
  parts(entered: Entered | null, of: 'stock' | 'water'): WorkingTerm | Blocked {
    const isStock = of === 'stock';
    return this.constant(
      entered,
      isStock ? 'supply.strength.stockParts' : 'supply.strength.waterParts',
      'missing-parts',
      'number',
      '1',
      {
        key: isStock ? 'x' : 'y',
        symbol: isStock ? 'x' : 'y',
        meaning: `parts of ${isStock ? 'the stock solution' : 'water'} in the mixture of`,
      },
      exact,
    );
  }

  temperature(entered: Entered | null): WorkingTerm | Blocked {
    const term = { key: 'T', symbol: 'T', meaning: 'temperature of' };
    return this.constant(entered, 'supply.temperature', 'missing-temperature', 'temperature', 'K', term);
  }

  pressure(entered: Entered | null): WorkingTerm | Blocked {
    const term = { key: 'p', symbol: 'p', meaning: 'pressure of' };
    return this.constant(entered, 'supply.pressure', 'missing-pressure', 'pressure', 'kPa', term);
  }

  /** Oxygen volumes speak of hydrogen peroxide and of nothing else. */
  peroxide(): Blocked | null {
    const formula = parseFormula(this.row.formula);
    if (formula.ok && hillFormula(formula.value) === 'H2O2' && formula.value.charge === 0) return null;
    return this.blocked(rowProblem(this.row, 'supply.strength', 'oxygen-volumes-not-peroxide'));
  }

  noStrength(): Blocked {
    return this.missing('supply.strength', 'missing-strength');
  }
}
