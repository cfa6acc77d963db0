import type { Entered } from '../quantity/quantity.ts';
import type { Dimension, UnitSymbol } from '../quantity/unit.ts';
import type { Problem } from '../result.ts';
import { constantTerm, exactTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { molarMassWorking } from '../formula/molar-mass.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { hillFormula } from '../formula/hill.ts';
import { asFraction, asGramsPerMl, isBlank, readConstant, typedTerm } from './entered-value.ts';
import type { TypedValue } from './entered-value.ts';
import { inRow, rowLabel, rowPath, rowProblem } from './place.ts';
import type { ReagentRow, Strength, Supply } from './table-types.ts';

/**
 * How an amount of substance follows from what is measured out of the bottle, and back. All in units
 * that fit without factors: g, g/mL, g/mol, mol, mol/L with L.
 */
export interface Relation {
  readonly state: 'ready';
  /** Unit of the measured quantity in the formulas. */
  readonly unit: 'g' | 'mL' | 'L';
  /** Formula of n in mol over the key `m` (mass) or `V` (volume) and those of `terms`. */
  readonly forward: string;
  readonly forwardDisplay: string;
  /** Formula of m or V over the key `n` and those of `terms`. */
  readonly backward: string;
  readonly backwardDisplay: string;
  readonly terms: readonly WorkingTerm[];
  readonly notes: readonly string[];
  readonly citation: string;
}

/** Something is missing or wrong; whatever needs the relation is blocked by it. */
export interface Blocked {
  readonly state: 'blocked';
  readonly problems: readonly Problem[];
}

/** There is no such relation, and nothing is missing: a solid has no volume here. */
export interface Absent {
  readonly state: 'absent';
}

export interface SupplyReading {
  readonly molarMass: Working | null;
  readonly massToAmount: Relation | Blocked | Absent;
  readonly volumeToAmount: Relation | Blocked | Absent;
  /** Density of what is measured out, g/mL: turns the mass of the liquid into its volume. */
  readonly density: { readonly state: 'ready'; readonly term: WorkingTerm } | Blocked | Absent;
  /** Everything wrong or missing in formula and supply, once each. */
  readonly problems: readonly Problem[];
}

const greenBook = 'IUPAC Green Book, 3rd ed., 2.10 (from memory)';
const absent: Absent = { state: 'absent' };

const gasConstant = exactTerm(
  'R',
  'R',
  'gas constant',
  8.314462618,
  'CODATA 2018, exact (from memory)',
  'J/(mol K)',
);
const normalTemperature = exactTerm('T0', 'T_{0}', '0 °C', 273.15, 'definition of oxygen volumes', 'K');
const normalPressure = exactTerm('p0', 'p_{0}', '1 atm', 101.325, 'definition of oxygen volumes', 'kPa');
const gramsPerKilogram = constantTerm(
  'k',
  'k',
  'grams in a kilogram',
  { value: 1000, unit: '1', standardUncertainty: 0, significantFigures: null },
  'definition',
);

/** Reads one row's bottle; a missing or wrong field is named once and blocks only what needs it. */
class BottleReader {
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
    return this.constant(
      entered,
      'supply.assay',
      'missing-assay',
      ['fraction', 'mass-fraction'],
      '%',
      { key: 'w', symbol: 'w', meaning: 'assay (mass fraction) of' },
      asFraction,
    );
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
      // A count of protons or electrons: exact.
      ({ quantity }) => ({
        quantity: { ...quantity, standardUncertainty: 0, significantFigures: null },
        contributions: [],
      }),
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

type Part = WorkingTerm | Blocked;
const isBlocked = (part: Part): part is Blocked => 'state' in part;

/** The relation if every part is there, else all that is missing for it. */
function relation(
  shape: Omit<Relation, 'state' | 'terms' | 'notes' | 'citation'> & { readonly notes?: readonly string[] },
  parts: readonly Part[],
  citation = greenBook,
): Relation | Blocked {
  const problems = parts.flatMap((part) => (isBlocked(part) ? part.problems : []));
  if (problems.length > 0) return { state: 'blocked', problems };
  const terms = parts.filter((part): part is WorkingTerm => !isBlocked(part));
  return { notes: [], ...shape, state: 'ready', terms, citation };
}

const asDensity = (part: Part): SupplyReading['density'] =>
  isBlocked(part) ? part : { state: 'ready', term: part };

const byMass = {
  unit: 'g',
  forward: 'm * w / M',
  forwardDisplay: 'n = m · w / M',
  backward: 'n * M / w',
  backwardDisplay: 'm = n · M / w',
} as const;
const byVolume = {
  unit: 'mL',
  forward: 'V * rho * w / M',
  forwardDisplay: 'n = V · ρ · w / M',
  backward: 'n * M / (rho * w)',
  backwardDisplay: 'V = n · M / (ρ · w)',
} as const;

type Reading = Pick<SupplyReading, 'massToAmount' | 'volumeToAmount' | 'density'>;

function readSolution(bottle: BottleReader, M: Part, strength: Strength): Reading {
  const { entered } = strength;
  switch (strength.kind) {
    case 'amount-concentration': {
      const c = bottle.strength(
        entered,
        'amount-concentration',
        'mol/L',
        'c',
        'c',
        'amount concentration of',
      );
      const shape = {
        unit: 'L',
        forward: 'c * V',
        forwardDisplay: 'n = c · V',
        backward: 'n / c',
        backwardDisplay: 'V = n / c',
      } as const;
      return { massToAmount: absent, volumeToAmount: relation(shape, [c]), density: absent };
    }
    case 'mass-fraction': {
      const w = bottle.strength(
        entered,
        ['mass-fraction', 'fraction'],
        '% w/w',
        'w',
        'w',
        'mass fraction of',
        asFraction,
      );
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = ['The strength was read as grams in 100 g of solution (% w/w).'];
      return {
        massToAmount: relation({ ...byMass, notes }, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'mass-per-volume': {
      const beta = bottle.strength(
        entered,
        ['mass-per-volume', 'density'],
        'g/mL',
        'beta',
        'β',
        'mass in one millilitre of the solution of',
        asGramsPerMl,
      );
      const shape = {
        unit: 'mL',
        forward: 'V * beta / M',
        forwardDisplay: 'n = V · β / M',
        backward: 'n * M / beta',
        backwardDisplay: 'V = n · M / β',
        notes: ['The strength was read as grams in 100 mL of solution (% w/v); no density is needed.'],
      } as const;
      return { massToAmount: absent, volumeToAmount: relation(shape, [beta, M]), density: absent };
    }
    case 'volume-fraction': {
      const phi = bottle.strength(
        entered,
        ['volume-fraction', 'fraction'],
        '% v/v',
        'phi',
        'φ',
        'volume fraction of',
        asFraction,
      );
      const rho = bottle.density(
        strength.neatDensity,
        'supply.strength.neatDensity',
        'density of the pure liquid,',
      );
      const shape = {
        unit: 'mL',
        forward: 'V * phi * rho / M',
        forwardDisplay: 'n = V · φ · ρ / M',
        backward: 'n * M / (phi * rho)',
        backwardDisplay: 'V = n · M / (φ · ρ)',
        notes: [
          'The strength was read as millilitres of the pure liquid in 100 mL of the finished mixture (% v/v); the volumes of liquids do not add up exactly.',
        ],
      } as const;
      return { massToAmount: absent, volumeToAmount: relation(shape, [phi, rho, M]), density: absent };
    }
    case 'molality': {
      const b = bottle.strength(entered, 'molality', 'mol/kg', 'b', 'b', 'molality of');
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = [
        'Molality counts per kilogram of solvent; the mass measured out is that of the solution.',
      ];
      const mass = {
        unit: 'g',
        forward: 'm * b / (k + b * M)',
        forwardDisplay: 'n = m · b / (k + b · M)',
        backward: 'n * (k + b * M) / b',
        backwardDisplay: 'm = n · (k + b · M) / b',
        notes,
      } as const;
      const volume = {
        unit: 'mL',
        forward: 'V * rho * b / (k + b * M)',
        forwardDisplay: 'n = V · ρ · b / (k + b · M)',
        backward: 'n * (k + b * M) / (rho * b)',
        backwardDisplay: 'V = n · (k + b · M) / (ρ · b)',
        notes,
      } as const;
      return {
        massToAmount: relation(mass, [b, gramsPerKilogram, M]),
        volumeToAmount: relation(volume, [rho, b, gramsPerKilogram, M]),
        density: asDensity(rho),
      };
    }
    case 'normality': {
      const N = bottle.strength(entered, 'equivalent-concentration', 'eq/L', 'N', 'N', 'normality of');
      const z = bottle.factor(strength.equivalenceFactor);
      const shape = {
        unit: 'L',
        forward: 'N * V / z',
        forwardDisplay: 'n = N · V / z',
        backward: 'n * z / N',
        backwardDisplay: 'V = n · z / N',
        notes: ['The equivalents per mole belong to this reaction; in another they may differ.'],
      } as const;
      return { massToAmount: absent, volumeToAmount: relation(shape, [N, z]), density: absent };
    }
    case 'parts-per-million': {
      const w = bottle.strength(
        entered,
        'parts-per-million',
        'ppm',
        'w',
        'w',
        'mass fraction of',
        asFraction,
      );
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = ['Parts per million were read by mass.'];
      return {
        massToAmount: relation({ ...byMass, notes }, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'oxygen-volumes': {
      const x = bottle.strength(entered, 'oxygen-volumes', 'vol', 'x', 'x', 'volumes of oxygen from');
      const wrong = bottle.peroxide();
      const shape = {
        unit: 'L',
        forward: 'V * 2 * x * p0 / (R * T0)',
        forwardDisplay: 'n = V · 2 x p_{0} / (R T_{0})',
        backward: 'n * R * T0 / (2 * x * p0)',
        backwardDisplay: 'V = n R T_{0} / (2 x p_{0})',
        notes: [
          'x volumes of O_{2} at 0 °C and 1 atm come from one volume of the solution; 2 H_{2}O_{2} → 2 H_{2}O + O_{2}.',
        ],
      } as const;
      const parts = [x, normalPressure, gasConstant, normalTemperature, ...(wrong === null ? [] : [wrong])];
      return {
        massToAmount: absent,
        volumeToAmount: relation(shape, parts, 'pharmacopoeial usage of "volumes" (from memory); ideal gas'),
        density: absent,
      };
    }
  }
}

function readKind(bottle: BottleReader, M: Part, supply: Supply): Reading {
  switch (supply.kind) {
    case 'solid':
      return {
        massToAmount: relation(byMass, [bottle.assay(supply.assay), M]),
        volumeToAmount: absent,
        density: absent,
      };
    case 'neat-liquid': {
      const w = bottle.assay(supply.assay);
      const rho = bottle.density(supply.density, 'supply.density');
      const at = supply.densityTemperature;
      const notes = [
        at === null || isBlank(at)
          ? 'The temperature the density belongs to was not entered.'
          : `Density at ${at.text.trim()} ${at.unit}.`,
      ];
      return {
        massToAmount: relation(byMass, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'solution': {
      if (supply.strength === null) {
        const none = bottle.noStrength();
        return { massToAmount: none, volumeToAmount: none, density: none };
      }
      return readSolution(bottle, M, supply.strength);
    }
    case 'gas': {
      const T = bottle.temperature(supply.temperature);
      const p = bottle.pressure(supply.pressure);
      const volume = {
        unit: 'L',
        forward: 'p * V / (R * T)',
        forwardDisplay: 'n = p · V / (R · T)',
        backward: 'n * R * T / p',
        backwardDisplay: 'V = n · R · T / p',
        notes: ['Counted as an ideal and pure gas.'],
      } as const;
      const mass = {
        unit: 'g',
        forward: 'm / M',
        forwardDisplay: 'n = m / M',
        backward: 'n * M',
        backwardDisplay: 'm = n · M',
        notes: ['Counted as a pure gas.'],
      } as const;
      return {
        massToAmount: relation(mass, [M]),
        volumeToAmount: relation(
          volume,
          [p, gasConstant, T],
          'ideal gas law; any text on physical chemistry',
        ),
        density: absent,
      };
    }
  }
}

/**
 * What a row's formula and bottle say. The mass and volume of a solution or an impure substance are
 * those of what is measured out, not of the substance in it.
 *
 * @error within the reading, each naming its field: the codes of `parseFormula` and `parseEntered`,
 *   missing-assay, missing-density, missing-neat-density, missing-strength,
 *   missing-equivalence-factor, missing-temperature, missing-pressure, constant-zero,
 *   oxygen-volumes-not-peroxide
 * @source n = m w/M = V ρ w/M = c V: IUPAC Green Book, 3rd ed., 2.10 (from memory)
 */
export function readSupply(row: ReagentRow): SupplyReading {
  const bottle = new BottleReader(row);
  const M = bottle.molarMass();
  const reading = readKind(bottle, M, row.supply);
  const working = isBlocked(M) ? null : molarMassWorking(row.formula);
  return {
    ...reading,
    molarMass: working?.ok === true ? working.value : null,
    problems: bottle.problems,
  };
}
