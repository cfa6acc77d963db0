import { calculationById } from '../calculations/index.ts';
import type { Statement } from '../calculations/calculation.ts';
import type { Sheet } from '../contract/sheet.ts';
import { greenMetrics, obtainedProduct } from '../green/green-metrics.ts';
import type { GreenMetrics } from '../green/green-metrics.ts';
import { formatWithUncertainty } from '../quantity/format.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { IdentityVerdict } from '../reaction/identity.ts';
import { computeTable } from '../reaction/reagent-table.ts';
import type { Cell, ReagentTable, RowSide, TableSide } from '../reaction/table-types.ts';
import { overallYields, stageName } from '../reaction/overall-yield.ts';
import { computeYields } from '../reaction/yields.ts';
import type { Problem } from '../result.ts';
import { problemSentence } from '../wording/index.ts';
import { workingLines } from '../workings/lines.ts';
import { plainText } from '../workings/markup.ts';
import type { Working } from '../workings/working.ts';
import { identityOf } from './identity.ts';
import { SheetReader } from './read-sheet.ts';
import type { Structures } from './read-sheet.ts';
import { scaledPlan } from './scale-sheet.ts';

/** A number as it leaves the program: whole, with its unit, uncertainty, figures, and as one writes it. */
export interface PrintedQuantity {
  readonly value: number;
  readonly unit: string;
  readonly standardUncertainty: number | null;
  readonly significantFigures: number | null;
  readonly text: string;
}

export interface PrintedProblem {
  readonly code: string;
  readonly where: string;
  readonly sentence: string;
}

export interface PrintedSide {
  readonly mass: PrintedQuantity | null;
  readonly volume: PrintedQuantity | null;
  readonly amount: PrintedQuantity | null;
  readonly equivalents: PrintedQuantity | null;
}

export interface PrintedTableSide {
  readonly limiting: {
    readonly row: string;
    readonly isCertain: boolean;
    readonly probability: number | null;
    readonly runnerUp: string | null;
  } | null;
  readonly theoreticalYield: PrintedQuantity | null;
  readonly theoreticalYieldIfOther: PrintedQuantity | null;
}

export interface WorkedSheet {
  readonly format: 'fairleaf-worked-sheet/1';
  readonly title: string;
  readonly rows: readonly {
    readonly id: string;
    readonly name: string;
    readonly coefficient: number | null;
    readonly molarMass: PrintedQuantity | null;
    readonly planned: PrintedSide;
    readonly taken: PrintedSide;
    readonly difference: PrintedQuantity | null;
  }[];
  readonly planned: PrintedTableSide;
  readonly taken: PrintedTableSide;
  readonly yields: Readonly<Record<'crude' | 'pure' | 'recovery', PrintedQuantity | null>>;
  /** What the plan was multiplied by, where the sheet asks for another size; null else. */
  readonly scaleFactor: number | null;
  /** What the physical constants of the product say, in careful words. */
  readonly identity: readonly {
    readonly property: IdentityVerdict['property'];
    readonly state: IdentityVerdict['state'];
    readonly sentences: readonly string[];
  }[];
  /** Over linked preparations: one for each starting material. */
  readonly overallYields: readonly {
    readonly row: string;
    readonly stages: readonly string[];
    readonly yield: PrintedQuantity | null;
  }[];
  readonly green: Readonly<
    Record<
      'atomEconomy' | 'eFactor' | 'eFactorWithoutWater' | 'processMassIntensity' | 'reactionMassEfficiency',
      PrintedQuantity | null
    >
  >;
  readonly waste: readonly { readonly stream: string; readonly mass: PrintedQuantity | null }[];
  /** What the green metrics take for granted, one sentence each. */
  readonly assumptions: readonly string[];
  readonly calculations: readonly {
    readonly calculation: string;
    readonly title: string;
    readonly answers: Readonly<Record<string, PrintedQuantity>>;
    readonly statements: readonly Statement[];
  }[];
  readonly workings: readonly {
    readonly id: string;
    readonly title: string;
    readonly lines: readonly string[];
  }[];
  readonly problems: readonly PrintedProblem[];
}

export function printedQuantity(quantity: Quantity): PrintedQuantity {
  const { value, unit, standardUncertainty, significantFigures } = quantity;
  return { value, unit, standardUncertainty, significantFigures, text: formatWithUncertainty(quantity).text };
}

const printedCell = (cell: Cell): PrintedQuantity | null =>
  cell.state === 'known' ? printedQuantity(cell.quantity) : null;

const printedSide = ({ mass, volume, amount, equivalents }: RowSide): PrintedSide => ({
  mass: printedCell(mass),
  volume: printedCell(volume),
  amount: printedCell(amount),
  equivalents: printedCell(equivalents),
});

const printedTableSide = (side: TableSide): PrintedTableSide => ({
  limiting:
    side.limiting.state === 'found'
      ? {
          row: side.limiting.rowId,
          isCertain: side.limiting.isCertain,
          probability: side.limiting.runnerUp?.probability ?? null,
          runnerUp: side.limiting.runnerUp?.rowId ?? null,
        }
      : null,
  theoreticalYield: printedCell(side.theoreticalYield),
  theoreticalYieldIfOther: printedCell(side.theoreticalYieldIfOther),
});

const printedProblem = (problem: Problem): PrintedProblem => ({
  code: problem.code,
  where: problem.where,
  sentence: problemSentence(problem),
});

const workingOf = (cell: Cell): readonly Working[] =>
  cell.state === 'known' && cell.working !== null ? [cell.working] : [];

/** The amount, and before it the volume or mass it comes from where that was counted in drops. */
const measuredOut = ({ mass, volume, amount }: RowSide): readonly Cell[] => {
  const grounds = workingOf(amount).flatMap(({ terms }) => terms.map(({ source }) => source));
  const isGround = (cell: Cell): boolean =>
    workingOf(cell).some(({ id }) => grounds.some((source) => source.kind === 'working' && source.id === id));
  return [...[mass, volume].filter(isGround), amount];
};

function tableWorkings(table: ReagentTable): readonly Working[] {
  const sides = [table.planned, table.taken];
  return [
    ...table.rows.flatMap((row) =>
      [row.molarMass, ...measuredOut(row.planned), ...measuredOut(row.taken)].flatMap((cell) =>
        workingOf(cell),
      ),
    ),
    ...sides.flatMap(({ limiting, theoreticalYield, theoreticalYieldIfOther }) => [
      ...(limiting.state === 'found' ? [limiting.working] : []),
      ...workingOf(theoreticalYield),
      ...workingOf(theoreticalYieldIfOther),
    ]),
  ];
}

/**
 * Works out a reaction sheet: the table planned and taken, yields, green metrics and the calculations
 * beside it, each number with its workings, each fault in words.
 *
 * @param structures what a structure library read in the rows' SMILES, by row id; core has none itself
 * @returns plain data, ready to be written as JSON; never throws for a sheet that parsed
 */
export function workOutSheet(sheet: Sheet, structures?: Structures): WorkedSheet {
  const reader = new SheetReader(structures);
  const typedRows = reader.rows(sheet);
  const equation = sheet.equation ?? '';
  const productRowId = sheet.product ?? null;
  const scaling = scaledPlan(sheet, { equation, rows: typedRows, productRowId }, reader);
  const scaled = scaling?.ok === true ? scaling.value : null;
  const rows = scaled?.rows ?? typedRows;
  const verdicts = identityOf(sheet, reader);
  const hasTable = rows.length > 0;
  const table = hasTable ? computeTable({ equation, rows, productRowId }) : null;
  const weighings = {
    crude: reader.weighing(sheet.result?.crude, 'result.crude.mass'),
    pure: reader.weighing(sheet.result?.pure, 'result.pure.mass'),
  };
  const yields = table === null ? null : computeYields(table, weighings);
  const overall = table === null || yields === null ? [] : overallYields(rows, table, yields.pure);
  const obtained = obtainedProduct(weighings);
  const green = table === null ? null : greenMetrics({ equation, rows, table, productRowId, obtained });
  const calculations = workCalculations(sheet, reader);
  const cells = [
    ...(yields === null ? [] : [yields.crude, yields.pure, yields.recovery]),
    ...overall.map((one) => one.overall),
  ];
  const workings = [
    ...(scaled === null || scaled.working === null ? [] : [scaled.working]),
    ...(table === null ? [] : tableWorkings(table)),
    ...cells.flatMap((cell) => workingOf(cell)),
    ...verdicts.flatMap((one) => one.workings),
    ...(green?.workings ?? []),
    ...calculations.flatMap(({ workings: own }) => own),
  ];
  const problems = [
    ...reader.problems,
    ...(scaling === null ? [] : scaling.ok ? scaling.value.notes : [scaling.error]),
    ...(table?.problems ?? []),
    ...(table?.rows.flatMap((row) => row.problems) ?? []),
    ...(yields?.problems ?? []),
    ...(yields?.excesses ?? []),
    ...overall.flatMap((one) => (one.overall.state === 'blocked' ? one.overall.problems : [])),
    ...(green === null || obtained.state === 'unknown' ? [] : openMasses(green)),
    ...calculations.flatMap(({ problems: own }) => own),
  ];
  return {
    format: 'fairleaf-worked-sheet/1',
    title: sheet.title ?? '',
    rows: rows.flatMap((row) => {
      const computed = table?.rows.find(({ rowId }) => rowId === row.id);
      if (computed === undefined) return [];
      return [
        {
          id: row.id,
          name: row.name,
          coefficient: computed.coefficient,
          molarMass: printedCell(computed.molarMass),
          planned: printedSide(computed.planned),
          taken: printedSide(computed.taken),
          difference: printedCell(computed.difference),
        },
      ];
    }),
    planned: table === null ? nothing : printedTableSide(table.planned),
    taken: table === null ? nothing : printedTableSide(table.taken),
    yields: {
      crude: yields === null ? null : printedCell(yields.crude),
      pure: yields === null ? null : printedCell(yields.pure),
      recovery: yields === null ? null : printedCell(yields.recovery),
    },
    scaleFactor: scaled?.factor ?? null,
    identity: verdicts.map(({ property, state, findings }) => ({
      property,
      state,
      sentences: findings.map(problemSentence),
    })),
    overallYields: overall.map((one) => ({
      row: one.rowId,
      stages: one.stages.map(stageName),
      yield: printedCell(one.overall),
    })),
    green: {
      atomEconomy: green === null ? null : printedCell(green.atomEconomy),
      eFactor: green === null ? null : printedCell(green.eFactor),
      eFactorWithoutWater: green === null ? null : printedCell(green.eFactorWithoutWater),
      processMassIntensity: green === null ? null : printedCell(green.processMassIntensity),
      reactionMassEfficiency: green === null ? null : printedCell(green.reactionMassEfficiency),
    },
    waste: (green?.waste ?? []).map(({ stream, mass }) => ({ stream, mass: printedCell(mass) })),
    assumptions: green?.assumptions ?? [],
    calculations: calculations.map(({ calculation, title, answers, statements }) => ({
      calculation,
      title,
      answers,
      statements,
    })),
    workings: workings.map((working) => ({
      id: working.id,
      title: plainText(working.title),
      lines: workingLines(working).map((line) => plainText(line)),
    })),
    problems: problems.map((problem) => printedProblem(problem)),
  };
}

/** What was taken and has no mass that is known, once each: without it the waste would be open for no reason. */
function openMasses({ eFactor, waste }: GreenMetrics): readonly Problem[] {
  const all = [eFactor, ...waste.map(({ mass }) => mass)].flatMap((cell) =>
    cell.state === 'blocked' ? cell.problems.filter(({ code }) => code.endsWith('mass-unknown')) : [],
  );
  return all.filter((one, index) => all.findIndex(({ where }) => where === one.where) === index);
}

const nothing: PrintedTableSide = { limiting: null, theoreticalYield: null, theoreticalYieldIfOther: null };

function workCalculations(sheet: Sheet, reader: SheetReader) {
  return (sheet.calculations ?? []).map(({ calculation: id, inputs }, index) => {
    const where = `calculations.${index}`;
    const calculation = calculationById(id);
    if (calculation === undefined) {
      return {
        calculation: id,
        title: '',
        answers: {},
        statements: [],
        workings: [],
        problems: [{ code: 'calculation-unknown', where, facts: { calculation: id } }],
      };
    }
    const outcome = calculation.work(reader.inputs(id, inputs, `${where}.inputs`));
    const answers = outcome.workings.filter((working) => outcome.answers.includes(working.id));
    return {
      calculation: id,
      title: calculation.title,
      answers: Object.fromEntries(answers.map((working) => [working.id, printedQuantity(working.result)])),
      statements: outcome.statements,
      workings: outcome.workings.map((working) => ({ ...working, id: `${index + 1}/${working.id}` })),
      problems: outcome.problems.map((problem) => ({
        ...problem,
        where: `${where}.inputs.${problem.where}`,
      })),
    };
  });
}
