import { balance } from '../equation/balance.ts';
import { parseEquation } from '../equation/parse-equation.ts';
import { hillFormula } from '../formula/hill.ts';
import { molarMassWorking } from '../formula/molar-mass.ts';
import { parseFormula } from '../formula/parse-formula.ts';
import { convert } from '../quantity/convert.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { blockedCell, noCell, quantityOf, workedCell } from '../reaction/cell.ts';
import type { Cell, ReagentRow, ReagentTable, RowRole } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { derive } from '../workings/derive.ts';
import { enteredTerm, exactTerm, workingTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';

/** How sparingly a preparation was done, by the published definitions. */
export interface GreenMetrics {
  /** M(product) × ν ÷ Σ ν M of everything on the left of the equation, %. */
  readonly atomEconomy: Cell;
  /** (mass in − product) ÷ product, water and solutions counted whole. */
  readonly eFactor: Cell;
  /** The same without water: neat water left out, solutions counted by their solute. */
  readonly eFactorWithoutWater: Cell;
  /** Total mass in ÷ product. */
  readonly processMassIntensity: Cell;
  /** Product ÷ reactants taken, %. */
  readonly reactionMassEfficiency: Cell;
  /** What went in and did not become product, by what it was there for. */
  readonly waste: readonly WasteStream[];
}

export interface WasteStream {
  readonly stream: 'reactants and by-products' | 'solvents' | 'work-up liquids and solids' | 'drying agents';
  readonly mass: Quantity;
}

interface GreenInput {
  readonly equation: string;
  readonly rows: readonly ReagentRow[];
  readonly table: ReagentTable;
  readonly productRowId: string | null;
  /** Mass of product obtained, g, as a term; null when nothing has been weighed yet. */
  readonly obtained: Quantity | null;
}

const isInput = (role: RowRole): boolean => role !== 'product' && role !== 'by-product';
const isWater = (row: ReagentRow): boolean => {
  const formula = parseFormula(row.formula);
  return formula.ok && hillFormula(formula.value) === 'H2O';
};

const issue = (code: string, facts: Problem['facts'] = {}): Problem => ({ code, where: 'equation', facts });

/** M(product) × ν ÷ Σ ν M(left side), %. @source Trost, Science 254 (1991) 1471 (from memory) */
export function atomEconomy(equationText: string, productFormula: string): Cell {
  const equation = parseEquation(equationText);
  if (!equation.ok) return blockedCell([{ ...equation.error, where: 'equation' }]);
  const balanced = balance(equation.value);
  if (balanced.kind === 'impossible' || balanced.kind === 'not-unique') {
    return blockedCell([issue('green-unbalanced')]);
  }
  const product = parseFormula(productFormula);
  if (!product.ok) return blockedCell([product.error]);
  const wanted = hillFormula(product.value);
  const terms: WorkingTerm[] = [];
  const left: string[] = [];
  let numerator: string | null = null;
  for (const [index, species] of equation.value.species.entries()) {
    const coefficient = balanced.coefficients[index] ?? 0;
    const isProduct = species.side === 'right' && hillFormula(species.formula) === wanted;
    if (species.side === 'right' && !(isProduct && numerator === null)) continue;
    const working = molarMassWorking(species.formula.text);
    if (!working.ok) return blockedCell([working.error]);
    const text = species.formula.markup;
    terms.push(
      exactTerm(
        `nu_${index}`,
        `ν(${text})`,
        `coefficient of ${species.formula.text}`,
        coefficient,
        'balanced equation',
      ),
      workingTerm(`M_${index}`, `M(${text})`, `molar mass of ${species.formula.text}`, working.value),
    );
    if (species.side === 'left') left.push(`nu_${index} * M_${index}`);
    else numerator = `nu_${index} * M_${index}`;
  }
  if (numerator === null) return blockedCell([issue('product-not-in-equation', { formula: productFormula })]);
  const worked = derive({
    id: 'atom-economy',
    title: 'Atom economy',
    symbol: 'AE',
    formula: `100 * (${numerator}) / (${left.join(' + ')})`,
    display: 'AE = ν · M(product) / Σ ν · M(reactants)',
    terms,
    unit: '%',
    citation: 'Trost, Science 254 (1991) 1471 (from memory); OpenStax Chemistry 2e, 4.4',
    figures: 3,
  });
  return worked.ok ? workedCell(withoutUncertainty(worked.value)) : blockedCell([worked.error]);
}

/** A metric is read to three figures; the uncertainty of atomic weights says nothing about it. */
const withoutUncertainty = (working: Working): Working => ({
  ...working,
  result: { ...working.result, standardUncertainty: null },
  contributions: [],
});

/**
 * Green metrics of what was taken. A row without a known mass blocks what needs it and is named;
 * a row that was planned and not taken is left out.
 *
 * @error within the cells: green-unbalanced, product-not-in-equation, mass-unknown (facts: name),
 *   nothing-taken, product-not-weighed
 * @source Sheldon, Green Chem. 9 (2007) 1273 (E-factor); Constable, Curzons & Cunningham, Green Chem.
 *   4 (2002) 521 (reaction mass efficiency); Jiménez-González et al., Org. Process Res. Dev. 15
 *   (2011) 912 (process mass intensity, from memory)
 */
export function greenMetrics({ equation, rows, table, productRowId, obtained }: GreenInput): GreenMetrics {
  const product = rows.find(({ id }) => id === productRowId);
  const economy = product === undefined ? noCell : atomEconomy(equation, product.equationFormula);
  const inputs = massesTaken(rows, table);
  const blocked = obtained === null ? [issue('product-not-weighed')] : inputs.problems;
  if (inputs.terms.length === 0 && inputs.problems.length === 0) blocked.push(issue('nothing-taken'));
  const waste = wasteStreams(inputs, obtained);
  if (obtained === null || blocked.length > 0 || !(obtained.value > 0)) {
    const cell = blocked.length > 0 ? blockedCell(blocked) : blockedCell([issue('product-not-weighed')]);
    return {
      atomEconomy: economy,
      eFactor: cell,
      eFactorWithoutWater: cell,
      processMassIntensity: cell,
      reactionMassEfficiency: cell,
      waste,
    };
  }
  const got = enteredTerm(
    'm_p',
    'm_{product}',
    'product obtained',
    convert(obtained, 'g'),
    'result.pure.mass',
  );
  const all = inputs.terms.map(({ term }) => term);
  const dry = withoutWater(rows, table, inputs.terms);
  const reactants = inputs.terms.filter(({ row }) => row.role === 'reactant').map(({ term }) => term);
  const sum = (terms: readonly WorkingTerm[]): string => terms.map(({ key }) => key).join(' + ');
  const cell = (
    id: string,
    title: string,
    symbol: string,
    formula: string,
    display: string,
    terms: readonly WorkingTerm[],
    unit: '1' | '%',
    citation: string,
    notes: readonly string[] = [],
  ): Cell => {
    if (terms.length === 0) return noCell;
    const worked = derive({
      id,
      title,
      symbol,
      formula,
      display,
      terms: [...terms, got],
      unit,
      citation,
      notes,
      figures: 3,
    });
    return worked.ok ? workedCell(withoutUncertainty(worked.value)) : blockedCell([worked.error]);
  };
  const sheldon = 'Sheldon, Green Chem. 9 (2007) 1273';
  return {
    atomEconomy: economy,
    eFactor: cell(
      'e-factor',
      'E-factor, water counted',
      'E',
      `(${sum(all)} - m_p) / m_p`,
      'E = (Σ m − m_{product}) / m_{product}',
      all,
      '1',
      sheldon,
    ),
    eFactorWithoutWater: Array.isArray(dry)
      ? cell(
          'e-factor-dry',
          'E-factor, water not counted',
          'E_{dry}',
          `(${sum(dry)} - m_p) / m_p`,
          'E = (Σ m − m_{water} − m_{product}) / m_{product}',
          dry,
          '1',
          sheldon,
          ['Water is left out, and solutions count by what is dissolved in them, taken as aqueous.'],
        )
      : dry,
    processMassIntensity: cell(
      'process-mass-intensity',
      'Process mass intensity',
      'PMI',
      `(${sum(all)}) / m_p`,
      'PMI = Σ m / m_{product}',
      all,
      '1',
      'Jiménez-González et al., Org. Process Res. Dev. 15 (2011) 912 (from memory)',
    ),
    reactionMassEfficiency: cell(
      'reaction-mass-efficiency',
      'Reaction mass efficiency',
      'RME',
      `100 * m_p / (${sum(reactants)})`,
      'RME = m_{product} / Σ m(reactants)',
      reactants,
      '%',
      'Constable, Curzons & Cunningham, Green Chem. 4 (2002) 521',
    ),
    waste,
  };
}

interface TakenMass {
  readonly row: ReagentRow;
  readonly term: WorkingTerm;
}
interface Taken {
  readonly terms: readonly TakenMass[];
  readonly problems: Problem[];
}

function massesTaken(rows: readonly ReagentRow[], table: ReagentTable): Taken {
  const terms: TakenMass[] = [];
  const problems: Problem[] = [];
  rows.forEach((row, index) => {
    if (!isInput(row.role) || row.taken === null) return;
    const cell = table.rows.find(({ rowId }) => rowId === row.id)?.taken.mass ?? noCell;
    const mass = quantityOf(cell);
    if (mass === null) {
      problems.push({ code: 'mass-unknown', where: `rows.${row.id}.taken`, facts: { name: row.name } });
      return;
    }
    const meaning = `mass of ${row.name} taken`;
    const working = cell.state === 'known' ? cell.working : null;
    const term =
      working !== null && working.result.unit === 'g'
        ? workingTerm(`m_${index}`, `m_{${index + 1}}`, meaning, working)
        : enteredTerm(`m_${index}`, `m_{${index + 1}}`, meaning, convert(mass, 'g'), `rows.${row.id}.taken`);
    terms.push({ row, term });
  });
  return { terms, problems };
}

/** The inputs without water: a solution by its solute. A blocked cell when a solute's mass is unknown. */
function withoutWater(
  rows: readonly ReagentRow[],
  table: ReagentTable,
  taken: readonly TakenMass[],
): WorkingTerm[] | Cell {
  const kept: WorkingTerm[] = [];
  for (const { row, term } of taken) {
    if (isWater(row)) continue;
    if (row.supply.kind !== 'solution') {
      kept.push(term);
      continue;
    }
    const computed = table.rows.find(({ rowId }) => rowId === row.id);
    const amount = computed === undefined ? null : quantityOf(computed.taken.amount);
    const molarMass = computed === undefined ? null : quantityOf(computed.molarMass);
    if (amount === null || molarMass === null) {
      return blockedCell([
        { code: 'mass-unknown', where: `rows.${row.id}.taken`, facts: { name: row.name } },
      ]);
    }
    const grams = (convert(amount, 'mol').value * molarMass.value) / row.unitsPerFormula;
    const index = rows.indexOf(row);
    kept.push(
      enteredTerm(
        `m_${index}`,
        `m_{${index + 1}}`,
        `mass of ${row.name} dissolved in the solution`,
        { value: grams, unit: 'g', standardUncertainty: null, significantFigures: amount.significantFigures },
        `rows.${row.id}.taken`,
      ),
    );
  }
  return kept;
}

function streamOf(role: RowRole): WasteStream['stream'] {
  if (role === 'solvent') return 'solvents';
  if (role === 'work-up') return 'work-up liquids and solids';
  if (role === 'drying-agent') return 'drying agents';
  return 'reactants and by-products';
}

/** Mass balance: all that went in less the product, which came out of the reactants. */
function wasteStreams({ terms }: Taken, obtained: Quantity | null): readonly WasteStream[] {
  const totals = new Map<WasteStream['stream'], number>();
  for (const { row, term } of terms) {
    const stream = streamOf(row.role);
    totals.set(stream, (totals.get(stream) ?? 0) + term.quantity.value);
  }
  const chemistry = totals.get('reactants and by-products');
  if (chemistry !== undefined && obtained !== null) {
    totals.set('reactants and by-products', Math.max(0, chemistry - convert(obtained, 'g').value));
  }
  return [...totals].map(([stream, value]) => ({
    stream,
    mass: { value, unit: 'g', standardUncertainty: null, significantFigures: 2 },
  }));
}
