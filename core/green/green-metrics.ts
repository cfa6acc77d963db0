import { convert } from '../quantity/convert.ts';
import { blockedCell, noCell, workingOf } from '../reaction/cell.ts';
import { rowLabel } from '../reaction/place.ts';
import type { Cell, ReagentRow, ReagentTable } from '../reaction/table-types.ts';
import type { Problem } from '../result.ts';
import { enteredTerm } from '../workings/term.ts';
import type { Working, WorkingTerm } from '../workings/working.ts';
import { economyOf } from './atom-economy.ts';
import type { Economy } from './atom-economy.ts';
import { countedProduct } from './counted-product.ts';
import { isProblem, isTerm, massesIn, takenInDrops } from './masses-in.ts';
import type { MassTerm } from './masses-in.ts';
import { metric } from './metric.ts';
import type { Obtained } from './obtained.ts';
import { wasteOf } from './waste.ts';
import type { WasteStream } from './waste.ts';

export { atomEconomy } from './atom-economy.ts';
export { obtainedProduct } from './obtained.ts';
export type { Obtained } from './obtained.ts';
export { wasteStreams } from './waste.ts';
export type { WasteName, WasteStream } from './waste.ts';

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
  /** What the masses take for granted, one sentence each: to be said wherever the numbers are. */
  readonly assumptions: readonly string[];
  /** Everything the cells rest on that is worked out here, in the order of the argument. */
  readonly workings: readonly Working[];
}

export interface GreenInput {
  /** As typed. */
  readonly equation: string;
  readonly rows: readonly ReagentRow[];
  readonly table: ReagentTable;
  readonly productRowId: string | null;
  readonly obtained: Obtained;
}

// Sheldon and Constable et al. as quoted in open reviews; Jiménez-González et al. from memory, not
// checked against the print.
const sheldon = 'Sheldon, Green Chem. 9 (2007) 1273';
const jimenez = 'Jiménez-González et al., Org. Process Res. Dev. 15 (2011) 912';
const constable = 'Constable, Curzons & Cunningham, Green Chem. 4 (2002) 521';

const crudeNote = 'Reckoned on the crude product: nothing pure has been weighed yet.';

interface Ratio {
  readonly id: string;
  readonly title: string;
  readonly symbol: string;
  readonly display: string;
  readonly citation: string;
  readonly notes?: readonly string[];
  readonly kind: 'waste' | 'input' | 'share';
}

const formulaOf = (kind: Ratio['kind'], sum: string): string => {
  switch (kind) {
    case 'waste':
      return `(${sum} - m_p) / m_p`;
    case 'input':
      return `(${sum}) / m_p`;
    case 'share':
      return `100 * m_p / (${sum})`;
  }
};

/** One metric of masses in against the product; blocked by exactly what it lacks. */
function ratio(
  shape: Ratio,
  masses: readonly MassTerm[],
  product: WorkingTerm | Problem,
  notes: readonly string[],
): Cell {
  if (masses.length === 0 && !isProblem(product)) {
    return blockedCell([{ code: 'nothing-taken', where: 'rows', facts: {} }]);
  }
  const all = [...masses, product];
  const problems = all.filter(isProblem);
  if (problems.length > 0) return blockedCell(problems);
  const terms = all.filter(isTerm);
  const sum = terms.slice(0, -1).map(({ key }) => key);
  return metric({
    id: shape.id,
    title: shape.title,
    symbol: shape.symbol,
    formula: formulaOf(shape.kind, sum.join(' + ')),
    display: shape.display,
    terms,
    unit: shape.kind === 'share' ? '%' : '1',
    citation: shape.citation,
    notes: [...(shape.notes ?? []), ...notes],
  });
}

const shapes = {
  eFactor: {
    id: 'e-factor',
    title: 'E-factor, water counted',
    symbol: 'E',
    display: 'E = (Σ m − m_{product}) / m_{product}',
    citation: sheldon,
    kind: 'waste',
  },
  eFactorWithoutWater: {
    id: 'e-factor-dry',
    title: 'E-factor, water not counted',
    symbol: 'E_{dry}',
    display: 'E_{dry} = (Σ m − m_{water} − m_{product}) / m_{product}',
    citation: sheldon,
    notes: ['Water is left out, and solutions count by what is dissolved in them, taken as aqueous.'],
    kind: 'waste',
  },
  processMassIntensity: {
    id: 'process-mass-intensity',
    title: 'Process mass intensity',
    symbol: 'PMI',
    display: 'PMI = Σ m / m_{product}',
    citation: jimenez,
    kind: 'input',
  },
  reactionMassEfficiency: {
    id: 'reaction-mass-efficiency',
    title: 'Reaction mass efficiency',
    symbol: 'RME',
    display: 'RME = 100 % · m_{product} / Σ m(reactants)',
    citation: constable,
    notes: ['Reactants count by what is in them: a solution by its solute.'],
    kind: 'share',
  },
} as const satisfies Record<string, Ratio>;

function economyFor(equation: string, product: ReagentRow | undefined): Economy {
  if (equation.trim() === '') return { cell: noCell, molarMasses: [] };
  if (product === undefined) {
    const missing = blockedCell([{ code: 'product-missing', where: 'productRowId', facts: {} }]);
    return { cell: missing, molarMasses: [] };
  }
  return economyOf(equation, product.equationFormula.trim() || product.formula);
}

/**
 * Green metrics of what was taken. A row without a known mass blocks what needs it and is named;
 * a row that was planned and not taken is left out. A solution counts whole only with its density;
 * drops do not count, which `assumptions` says. Where water and solvents do not count, a hydrate counts as
 * it stands in the equation (`countedProduct`).
 *
 * @error within the cells: those of `atomEconomy` and `massesIn`, nothing-taken,
 *   product-missing, product-outweighs-reactants, and the problem of `obtained`
 * @source Sheldon, Green Chem. 9 (2007) 1273 (E-factor); Constable, Curzons & Cunningham, Green Chem.
 *   4 (2002) 521 (reaction mass efficiency); Jiménez-González et al., Org. Process Res. Dev. 15
 *   (2011) 912 (process mass intensity, from memory)
 */
export function greenMetrics({ equation, rows, table, productRowId, obtained }: GreenInput): GreenMetrics {
  const productRow = rows.find(({ id }) => id === productRowId);
  const masses = massesIn(rows, table);
  const product =
    obtained.state === 'unknown'
      ? obtained.problem
      : enteredTerm(
          'm_p',
          'm_{product}',
          `${obtained.stage} product obtained`,
          convert(obtained.mass, 'g'),
          `result.${obtained.stage}.mass`,
        );
  const notes = obtained.state === 'weighed' && obtained.stage === 'crude' ? [crudeNote] : [];
  const counted = isProblem(product) ? null : countedProduct(productRow, product);
  const made = counted === null ? product : counted.term;
  const whole = masses.map((one) => one.whole);
  const assumptions = takenInDrops(rows).map((row) => `${rowLabel(row)} was taken in drops and is left out.`);
  const stated = [...notes, ...assumptions];
  const dry = masses.filter((one) => !one.isWater);
  const reactants = masses.filter(
    ({ row, isInEquation }) => row.role === 'reactant' || (row.role === 'reagent' && isInEquation),
  );
  const economy = economyFor(equation, productRow);
  const cells = {
    atomEconomy: economy.cell,
    reactionMassEfficiency: ratio(
      shapes.reactionMassEfficiency,
      reactants.map((one) => one.own),
      made,
      notes,
    ),
    eFactor: ratio(shapes.eFactor, whole, product, stated),
    eFactorWithoutWater: ratio(
      shapes.eFactorWithoutWater,
      dry.map((one) => one.own),
      made,
      notes,
    ),
    processMassIntensity: ratio(shapes.processMassIntensity, whole, product, stated),
  };
  const waste = wasteOf(masses, product);
  const results = [...Object.values(cells), ...waste.map(({ mass }) => mass)];
  return {
    ...cells,
    waste,
    assumptions: masses.length === 0 ? [] : assumptions,
    workings: [
      ...economy.molarMasses,
      ...masses.flatMap(({ workings }) => workings),
      ...(counted?.workings ?? []),
      ...results.map(workingOf).filter((working) => working !== null),
    ],
  };
}
