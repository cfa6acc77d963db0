import type { Block } from '../../../core/report/report-document.ts';
import { bodyWidth, fineRule, marginRule, quiet, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import { num } from '../svg-text.ts';
import { body, small, text, tiny } from './context.ts';
import type { BlockContext } from './context.ts';
import { stampNode } from './title.ts';

type Of<K extends Block['kind']> = Extract<Block, { kind: K }>;

const measure = 350;
const side = (bodyWidth - measure) / 2;
const stampWidth = 168;

const rule = (width: number, color: string): Node => ({
  svg: `<svg xmlns="http://www.w3.org/2000/svg" width="${num(width)}" height="4" viewBox="0 0 ${num(width)} 4"><line x1="0" y1="2" x2="${num(width)}" y2="2" stroke="${color}" stroke-width="0.9"/></svg>`,
  width,
  height: 4,
  alignment: 'center',
});

/** The first page of a bound record, centred like the title page of a book. */
export function certificate(block: Of<'certificate'>, context: BlockContext): Node[] {
  const { section } = context;
  const centred = { alignment: 'center' } as const;
  return [
    text([{ text: block.institution }], { face: 'serif', size: 17 }, section.child('P'), context, {
      ...centred,
      margin: [0, 62, 0, 2],
    }),
    text(
      [{ text: block.department, tone: 'quiet' }],
      { face: 'sans', size: 11 },
      section.child('P'),
      context,
      {
        ...centred,
        margin: [0, 0, 0, 56],
      },
    ),
    text([{ text: block.title }], { face: 'serif', size: 31, bold: true }, section.child('H1'), context, {
      ...centred,
      margin: [0, 0, 0, 10],
    }),
    { ...rule(measure, marginRule), margin: [0, 0, 0, 24] },
    ...block.facts.map((fact): Node => {
      const tag = section.child('P');
      return {
        columns: [
          {
            width: 88,
            ...text([{ text: fact.label, tone: 'quiet' }], { ...small, size: 9.5 }, tag, context, {
              margin: [0, 2.2, 0, 0],
            }),
          },
          { width: '*', ...text(fact.value, { face: 'serif', size: 12 }, tag, context) },
        ],
        columnGap: 0,
        margin: [side, 0, side, 3],
      };
    }),
    { ...rule(measure, fineRule), margin: [0, 14, 0, 20] },
    ...block.statement.map((line) =>
      text(line, { ...body, size: 11.5 }, section.child('P'), context, {
        margin: [side, 0, side, 8],
        lineHeight: 1.12,
      }),
    ),
    {
      columns: [{ width: stampWidth, stack: [stampNode(block.stamp, stampWidth, context)] }],
      margin: [side, 34, 0, 62],
    },
    signLines(block.signLines, context),
    ...block.notes.map((line, index) =>
      text(line, { ...tiny, color: quiet }, section.child('P'), context, {
        margin: [side, index === 0 ? 40 : 0, side, 1],
      }),
    ),
  ];
}

/** Lines for those who sign on paper. */
function signLines(labels: readonly string[], context: BlockContext): Node {
  const gap = 18;
  const width = (measure - gap * (labels.length - 1)) / labels.length;
  return {
    margin: [side, 0, 0, 0],
    columns: labels.map((label) => ({
      width,
      stack: [
        rule(width, strongRule),
        text([{ text: label, tone: 'quiet' }], small, context.section.child('P'), context),
      ],
    })),
    columnGap: gap,
  };
}
