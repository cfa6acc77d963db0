import { parseEquation } from '../../equation/parse-equation.ts';
import { balance } from '../../equation/balance.ts';
import { balancedMarkup, equationMarkup } from '../../equation/equation-markup.ts';
import type { Species } from '../../equation/equation.ts';
import type { ReagentRow } from '../../reaction/table-types.ts';
import { plainText } from '../../workings/markup.ts';
import { problemSentence } from '../../wording/index.ts';
import type { Block, Drawn, ReactionBlock } from '../report-document.ts';
import { attachmentBlocks, commentBlocks, nothingWritten, textBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { capital, marked, plain, quiet } from '../runs.ts';

export function aim(context: ReportContext): Block[] {
  const blocks = textBlocks(context.content.aim, context.inkOf('aim'), context);
  return [
    ...(blocks.length === 0 ? [nothingWritten] : blocks),
    ...attachmentBlocks('aim', context),
    ...commentBlocks('aim', context),
  ];
}

export function principle(context: ReportContext): Block[] {
  const { content } = context;
  const blocks = [
    ...textBlocks(content.principle, context.inkOf('principle'), context),
    ...reaction(context),
  ];
  return [
    ...(blocks.length === 0 ? [nothingWritten] : blocks),
    ...attachmentBlocks('principle', context),
    ...commentBlocks('principle', context),
  ];
}

/** The equation as balanced, and the substances drawn as far as the reagent table knows their structure. */
function reaction(context: ReportContext): Block[] {
  const { content } = context;
  if (content.equation.trim() === '') return [];
  const parsed = parseEquation(content.equation);
  const problems = context.computation.table.problems.map((problem) => capital(problemSentence(problem)));
  const doubt: Block[] =
    problems.length === 0 ? [] : [{ kind: 'notice', title: 'The equation', line: plain(problems.join(' ')) }];
  if (!parsed.ok) {
    return [
      {
        kind: 'paragraph',
        line: marked(equationMarkup(content.equation)),
        ink: 'student',
        mark: context.markFor('student'),
      },
      ...doubt,
    ];
  }
  const equation = parsed.value;
  const { coefficients } = balance(equation);
  const markup =
    coefficients.length === 0 ? equationMarkup(content.equation) : balancedMarkup(equation, coefficients);
  const drawn = equation.species.map((one, index) => substance(one, coefficients[index] ?? 1, context));
  const isLeft = (index: number): boolean => equation.species[index]?.side === 'left';
  // With no structure at all the drawing would only repeat the equation.
  const hasDrawing = drawn.some((one) => one.smiles !== null);
  const block: ReactionBlock = {
    kind: 'reaction',
    equation: marked(markup),
    left: hasDrawing ? drawn.filter((_, index) => isLeft(index)) : [],
    right: hasDrawing ? drawn.filter((_, index) => !isLeft(index)) : [],
    over: plain(conditions(content.rows).join(', ')),
    spoken: `Reaction scheme: ${plainText(markup)}`,
  };
  return [block, ...doubt];
}

/** A structure is drawn for a molecule of some size; ions and small molecules read better as formulas. */
function isDrawable(smiles: string): boolean {
  if (smiles.includes('.')) return false;
  const atoms = smiles.match(/\[[^\]]+\]|Br|Cl|[BCNOPSFI]|[bcnops]/g) ?? [];
  return atoms.length >= 3;
}

function substance(
  species: Species,
  coefficient: number,
  { content, computation, values }: ReportContext,
): Drawn {
  const index = content.rows.findIndex((row) => row.equationFormula.trim() === species.text.trim());
  const row = content.rows[index];
  const cell = computation.table.rows[index]?.molarMass;
  const molarMass = cell === undefined ? null : values.cell(cell);
  const smiles = row?.smiles ?? null;
  return {
    coefficient: coefficient === 1 ? '' : String(coefficient),
    smiles: smiles !== null && isDrawable(smiles) ? smiles : null,
    formula: marked(species.formula.markup),
    caption: row === undefined ? [] : [plain(row.name), ...(molarMass === null ? [] : [quiet(molarMass)])],
  };
}

/** What stands over the arrow: catalyst and solvent, three at most. */
const conditions = (rows: readonly ReagentRow[]): readonly string[] =>
  rows
    .filter((row) => row.role === 'catalyst' || row.role === 'solvent')
    .map((row) => row.name)
    .slice(0, 3);

export function requirements(context: ReportContext): Block[] {
  const { content } = context;
  const ink = context.inkOf('requirements');
  const items = content.requirements.filter((item) => item.trim() !== '').map((item) => plain(item));
  return [
    ...(items.length === 0
      ? [nothingWritten]
      : [{ kind: 'list', items, columns: 2, ink, mark: context.markFor(ink) } satisfies Block]),
    ...attachmentBlocks('requirements', context),
    ...commentBlocks('requirements', context),
  ];
}
