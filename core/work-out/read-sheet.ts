import { calculationById } from '../calculations/index.ts';
import type { CalculationField, CalculationInputs } from '../calculations/calculation.ts';
import type { Sheet } from '../contract/sheet.ts';
import { againstStructure, structureFormula } from '../formula/against-structure.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import type { StructureComposition } from '../formula/structure-composition.ts';
import { isUnit } from '../quantity/entered.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { Weighing, WorksheetInput } from '../record/content.ts';
import type {
  EarlierStage,
  Measure,
  ReagentRow,
  RowOrigin,
  Strength,
  Supply,
} from '../reaction/table-types.ts';
import type { Problem, Result } from '../result.ts';

type SheetRow = NonNullable<Sheet['rows']>[number];
type SheetOrigin = NonNullable<SheetRow['origin']>;
type SheetStage = NonNullable<SheetOrigin['lines']>[number][number];
type SheetMeasure = NonNullable<SheetRow['planned']>;
type SheetSupply = NonNullable<SheetRow['supply']>;
type SheetStrength = NonNullable<Extract<SheetSupply, { kind: 'solution' }>['strength']>;

/**
 * Takes "2.00 g" apart. The unit is everything after the first space; a number alone is a pure number.
 * Whether the number can be read is the engine's to say, so that its words stay the same everywhere.
 */
export function splitQuantity(text: string): Entered | null {
  const trimmed = text.trim();
  const at = trimmed.search(/\s/u);
  const unit = at < 0 ? '1' : trimmed.slice(at).trim();
  return isUnit(unit) ? { text: at < 0 ? trimmed : trimmed.slice(0, at), unit } : null;
}

/** By row id: what a structure library made of the row's SMILES. */
export type Structures = ReadonlyMap<string, Result<StructureComposition, Problem>>;

/** Turns a parsed sheet into the engine's shapes, collecting units that do not exist. */
export class SheetReader {
  readonly problems: Problem[] = [];
  readonly #structures: Structures;

  constructor(structures: Structures = new Map()) {
    this.#structures = structures;
  }

  quantity(text: string | undefined, where: string): Entered | null {
    if (text === undefined) return null;
    const entered = splitQuantity(text);
    if (entered === null) this.problems.push({ code: 'quantity-unreadable', where, facts: { typed: text } });
    return entered;
  }

  rows(sheet: Sheet): readonly ReagentRow[] {
    return (sheet.rows ?? []).map((row, index) => {
      const { formula, equationFormula } = this.#formulas(row, `rows.${row.id || index}`);
      return { ...this.#row(row), formula, equationFormula };
    });
  }

  /** The formula typed, held against the structure; where none was typed, that of the structure. */
  #formulas(row: SheetRow, where: string): Pick<ReagentRow, 'formula' | 'equationFormula'> {
    const asTyped = { formula: row.formula, equationFormula: row.equationFormula ?? row.formula };
    const structure = this.#structures.get(row.id);
    if (structure === undefined) return asTyped;
    const facts = { name: row.name };
    if (!structure.ok) {
      this.problems.push({ ...structure.error, where: `${where}.smiles`, facts });
      return asTyped;
    }
    if (row.formula.trim() === '') {
      const formula = structureFormula(structure.value);
      return { formula, equationFormula: row.equationFormula ?? formula };
    }
    const formula = parseFormula(row.formula);
    const problem = formula.ok ? againstStructure(formula.value, structure.value) : null;
    if (problem !== null) this.problems.push({ ...problem, where: `${where}.formula` });
    return asTyped;
  }

  #row(row: SheetRow): ReagentRow {
    const where = `rows.${row.id}`;
    return {
      id: row.id,
      name: row.name,
      formula: row.formula,
      equationFormula: row.equationFormula ?? row.formula,
      unitsPerFormula: row.unitsPerFormula ?? 1,
      compoundId: null,
      smiles: row.smiles ?? null,
      role: row.role,
      supply:
        row.supply === undefined
          ? { kind: 'solid', assay: null }
          : this.#supply(row.supply, `${where}.supply`),
      origin: this.#origin(row.origin, `${where}.origin`),
      planned: this.#measure(row.planned, `${where}.planned`),
      taken: this.#measure(row.taken, `${where}.taken`),
      remark: '',
    };
  }

  #origin(origin: SheetOrigin | undefined, where: string): RowOrigin | null {
    if (origin === undefined) return null;
    return {
      ...this.#stage(origin, where),
      recordId: '',
      mass: this.quantity(origin.mass, `${where}.mass`),
      lines: (origin.lines ?? []).map((line, at) =>
        line.map((stage, index) => this.#stage(stage, `${where}.lines.${at}.${index}`)),
      ),
    };
  }

  #stage(stage: SheetStage, where: string): EarlierStage {
    return {
      // Outside a notebook a stage has no id: its place in the sheet tells it apart.
      entryId: where,
      entryNumber: stage.entryNumber ?? 0,
      title: stage.title,
      yield: this.quantity(stage.yield, `${where}.yield`),
      yieldUncertainty: this.quantity(stage.yieldUncertainty, `${where}.yieldUncertainty`),
    };
  }

  #measure(measure: SheetMeasure | undefined, where: string): Measure | null {
    const entered = this.quantity(measure?.value, where);
    if (measure === undefined || entered === null) return null;
    const read = { by: measure.by, entered, instrument: measure.instrument ?? null };
    const { drop } = measure;
    if (drop === undefined) return read;
    const part = (key: keyof typeof drop): Entered | null => this.quantity(drop[key], `${where}.drop.${key}`);
    return {
      ...read,
      drop: {
        drops: part('drops'),
        make: part('make'),
        uncertainty: part('uncertainty'),
        countUncertainty: part('countUncertainty'),
      },
    };
  }

  #supply(supply: SheetSupply, where: string): Supply {
    switch (supply.kind) {
      case 'solid':
        return { kind: 'solid', assay: this.quantity(supply.assay, `${where}.assay`) };
      case 'neat-liquid':
        return {
          kind: 'neat-liquid',
          density: this.quantity(supply.density, `${where}.density`),
          densityTemperature: this.quantity(supply.densityTemperature, `${where}.densityTemperature`),
          assay: this.quantity(supply.assay, `${where}.assay`),
        };
      case 'solution':
        return {
          kind: 'solution',
          strength:
            supply.strength === undefined ? null : this.#strength(supply.strength, `${where}.strength`),
        };
      case 'gas':
        return {
          kind: 'gas',
          temperature: this.quantity(supply.temperature, `${where}.temperature`),
          pressure: this.quantity(supply.pressure, `${where}.pressure`),
        };
    }
  }

  #strength(strength: SheetStrength, where: string): Strength | null {
    const entered = this.quantity(strength.value, where);
    const density = this.quantity(strength.density, `${where}.density`);
    const densityTemperature = this.quantity(strength.densityTemperature, `${where}.densityTemperature`);
    if (entered === null) return null;
    const shared = { entered, density, densityTemperature };
    switch (strength.kind) {
      case 'amount-concentration':
      case 'mass-per-volume':
      case 'oxygen-volumes':
      case 'mass-fraction':
      case 'molality':
      case 'parts-per-million':
        return { kind: strength.kind, ...shared };
      case 'volume-fraction':
        return {
          kind: strength.kind,
          ...shared,
          neatDensity: this.quantity(strength.neatDensity, `${where}.neatDensity`),
        };
      case 'parts-by-volume':
        return {
          kind: strength.kind,
          ...shared,
          stockParts: this.quantity(strength.stockParts, `${where}.stockParts`),
          waterParts: this.quantity(strength.waterParts, `${where}.waterParts`),
        };
      case 'normality':
        return {
          kind: strength.kind,
          ...shared,
          equivalenceFactor: this.quantity(strength.equivalenceFactor, `${where}.equivalenceFactor`),
        };
    }
  }

  weighing(weighing: { mass: string; instrument?: string | undefined } | undefined, where: string): Weighing {
    return { mass: this.quantity(weighing?.mass, where), instrument: weighing?.instrument ?? null };
  }

  /** Inputs of a calculation: texts become quantities where the field asks for one. */
  inputs(
    calculation: string,
    inputs: Readonly<Record<string, string | readonly Readonly<Record<string, string>>[]>>,
    where: string,
  ): CalculationInputs {
    const fields = calculationById(calculation)?.fields ?? [];
    const read: Record<string, WorksheetInput> = {};
    for (const [key, value] of Object.entries(inputs)) {
      const field = fields.find((one) => one.key === key);
      if (field === undefined) {
        this.problems.push({ code: 'field-unknown', where: `${where}.${key}`, facts: { key, calculation } });
        continue;
      }
      const input = this.#input(field, value, `${where}.${key}`);
      if (input !== null) read[key] = input;
    }
    return read;
  }

  #input(
    field: CalculationField,
    value: string | readonly Readonly<Record<string, string>>[],
    where: string,
  ): WorksheetInput | null {
    if (typeof value === 'string') return field.kind === 'quantity' ? this.quantity(value, where) : value;
    return value.map((line, index) => {
      const read: Record<string, Entered> = {};
      for (const [key, text] of Object.entries(line)) {
        const entered = this.quantity(text, `${where}.${index}.${key}`);
        if (entered !== null) read[key] = entered;
      }
      return read;
    });
  }
}
