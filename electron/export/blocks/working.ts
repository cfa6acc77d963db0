import type { Block } from '../../../core/report/report-document.ts';
import { bodyWidth, fineRule, inks, quiet } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import { body, plain, small, text, tiny } from './context.ts';
import type { BlockContext } from './context.ts';
import { markNode, paragraphs } from './text-blocks.ts';

type Of<K extends Block['kind']> = Extract<Block, { kind: K }>;

const titleWidth = 128;
/** Characters of a working that surely fit one page. */
const longestKept = 2500;

/** What is worked out on the left; the arithmetic on the right, and what explains it below in small print. */
export function working(block: Of<'working'>, context: BlockContext): Node {
  const tag = context.section.child('P');
  const length = [block.title, ...block.lines, ...block.notes].reduce(
    (sum, line) => sum + plain(line).length,
    0,
  );
  return {
    needs: 46,
    table: {
      widths: [titleWidth, bodyWidth - titleWidth - 12],
      // A row that is kept together and higher than a page would lose its end.
      dontBreakRows: length < longestKept,
      body: [
        [
          text(block.title, { ...small, bold: true, size: 8.8 }, tag, context, { margin: [0, 1.2, 0, 0] }),
          {
            stack: [
              ...block.lines.map((line) => text(line, { ...body, size: 9.8 }, tag, context)),
              ...block.notes.map((note, index) =>
                text(note, { ...tiny, size: 7.3, color: quiet }, tag, context, {
                  margin: [0, index === 0 ? 2 : 0.5, 0, 0],
                }),
              ),
            ],
          },
        ],
      ],
    },
    layout: {
      hLineWidth: (line: number) => (line === 0 ? 0.4 : 0),
      hLineColor: () => fineRule,
      vLineWidth: () => 0,
      paddingLeft: (column: number) => (column === 0 ? 0 : 12),
      paddingRight: () => 0,
      paddingTop: () => 3,
      paddingBottom: () => 4,
    },
  };
}

/** Printed name in its ink, meaning, date and time with offset, what it covers; initials in the margin. */
export function signature(block: Of<'signature'>, context: BlockContext): Node {
  const tag = context.section.child('P');
  const color = inks[block.ink];
  return {
    needs: 74,
    stack: [
      markNode({ ink: block.ink, initials: `✓ ${block.initials}` }, 12, context),
      {
        table: {
          widths: [196, '*'],
          body: [
            [
              {
                stack: [
                  text(
                    [{ text: block.printedName }],
                    { face: 'serif', size: 12.5, bold: true, color },
                    tag,
                    context,
                  ),
                  text([{ text: block.role, tone: 'quiet' }], small, tag, context),
                  text([{ text: block.when }], small, tag, context),
                ],
              },
              {
                stack: [
                  text([{ text: `“${block.meaning}”` }], { ...body, italic: true, color }, tag, context, {
                    margin: [0, 1.5, 0, 1],
                  }),
                  ...(block.remark.length === 0
                    ? []
                    : paragraphs(block.remark).map((part) =>
                        text(part, { ...body, color }, tag, context, { margin: [0, 0, 0, 1] }),
                      )),
                  text([{ text: block.covers, tone: 'quiet' }], tiny, tag, context),
                ],
              },
            ],
          ],
        },
        layout: {
          hLineWidth: (line: number) => (line === 0 ? 0.8 : 0),
          hLineColor: () => color,
          vLineWidth: () => 0,
          paddingLeft: (column: number) => (column === 0 ? 0 : 10),
          paddingRight: () => 0,
          paddingTop: () => 4,
          paddingBottom: () => 8,
        },
      },
    ],
  };
}
