import type { Cell as TableCell } from '../../reaction/table-types.ts';
import { problemSentence } from '../../wording/index.ts';
import type { Block, Cell } from '../report-document.ts';
import type { ReportContext } from '../report-context.ts';
import { bold, capital, plain, quiet } from '../runs.ts';

interface Measure {
  readonly name: string;
  readonly means: string;
  readonly cell: TableCell;
}

/**
 * What the preparation cost in matter: the published measures and the waste, each with what it says.
 * Their workings stand in the Calculation section. Nothing is printed where nothing is known.
 */
export function matterCost({ computation, values }: ReportContext): Block[] {
  const { green } = computation;
  const measures: readonly Measure[] = [
    {
      name: 'Atom economy',
      means: 'of all that the equation takes is in the product',
      cell: green.atomEconomy,
    },
    {
      name: 'Reaction mass efficiency',
      means: 'of the reactants taken is in the product',
      cell: green.reactionMassEfficiency,
    },
    {
      name: 'E-factor',
      means: 'grams of waste per gram of product, water counted',
      cell: green.eFactor,
    },
    {
      name: 'E-factor without water',
      means: 'grams of waste per gram of product, water left out',
      cell: green.eFactorWithoutWater,
    },
    {
      name: 'Process mass intensity',
      means: 'grams taken per gram of product',
      cell: green.processMassIntensity,
    },
    ...green.waste.map(({ stream, mass }): Measure => ({
      name: `Waste: ${stream}`,
      means: 'went in and did not become product',
      cell: mass,
    })),
  ];
  const rows = measures.flatMap(({ name, means, cell }): Cell[][] => {
    const value = values.full(cell);
    return value === null ? [] : [[[plain(name)], [bold(value)], [quiet(means)]]];
  });
  // The equation alone is no account of a preparation.
  if (measures.every(({ cell, name }) => name === 'Atom economy' || cell.state !== 'known')) return [];
  const open = measures.filter(({ cell }) => cell.state === 'blocked');
  const reasons = new Set(
    open.flatMap(({ cell }) => (cell.state === 'blocked' ? cell.problems.map(problemSentence) : [])),
  );
  const said = [
    ...green.assumptions.map(capital),
    ...(open.length === 0 ? [] : [`Not worked out: ${open.map(({ name }) => name).join(', ')}.`, ...reasons]),
  ];
  return [
    { kind: 'heading', level: 3, number: '', line: plain('What it cost in matter') },
    {
      kind: 'table',
      density: 'compact',
      caption: null,
      columns: [
        { head: plain('Measure'), align: 'left', share: 165 },
        { head: plain('Value'), align: 'right', share: 70 },
        { head: plain('What it says'), align: 'left', share: 230 },
      ],
      rows,
    },
    ...(said.length === 0 ? [] : [{ kind: 'small-print', line: plain(said.join(' ')) } satisfies Block]),
  ];
}
