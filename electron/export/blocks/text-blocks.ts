import type { Block, Ink, InkMark, Line } from '../../../core/report/report-document.ts';
import { bodyWidth, inks, page, quiet, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { Setting } from '../typeset.ts';
import { body, plain, small, text, tiny } from './context.ts';
import type { BlockContext, Margin } from './context.ts';

type Of<K extends Block['kind']> = Extract<Block, { kind: K }>;

/** Room a heading asks for below itself, so that it never stands last on a page. */
const needsAfter = { 1: 100, 2: 62, 3: 50 } as const;
const headingSize = { 1: 19, 2: 13.5, 3: 10.5 } as const;
const spaceAbove = { 1: 0, 2: 18, 3: 11 } as const;

/** Something set in the margin, right-aligned to the margin line. */
function inMargin(
  line: Line,
  size: number,
  bold: boolean,
  color: string,
  drop: number,
  context: BlockContext,
): Node {
  const setting = { face: 'sans', size, bold, color } as const;
  const width = context.type.width(context.type.pieces(line, setting));
  return text(line, setting, null, context, {
    relativePosition: { x: page.rule - 6 - width - page.left, y: drop },
  });
}

/** Initials in their ink in the margin, level with the first line of `size` points. */
export function markNode(mark: InkMark, size: number, context: BlockContext): Node {
  const drop = (size - 7.2) * 1.02;
  return inMargin([{ text: mark.initials }], 7.2, true, inks[mark.ink], drop, context);
}

export function heading(block: Of<'heading'>, context: BlockContext, needsMore = 0): Node {
  const size = headingSize[block.level];
  const tag = context.section.child(`H${block.level}`);
  const line = text(
    block.line,
    { face: block.level === 3 ? 'sans' : 'serif', size, bold: true },
    tag,
    context,
    {
      ...(block.level === 2 ? { bookmark: plain(block.line) } : {}),
    },
  );
  const stack: Node[] = [line];
  if (block.number !== '') {
    const drop = (size - 9) * 1.02 + 0.3;
    stack.unshift(inMargin([{ text: block.number }], 9, true, quiet, drop, context));
  }
  const below = block.level === 3 ? 2 : 4;
  return {
    stack,
    margin: [0, spaceAbove[block.level], 0, below],
    // What follows brings a margin of its own.
    needs: spaceAbove[block.level] + size * 1.45 + below + 4 + Math.max(needsAfter[block.level], needsMore),
  };
}

/** Text as paragraphs: a blank line parts them, a single line break stays one. */
export function paragraph(block: Of<'paragraph'>, context: BlockContext): Node {
  const parts = paragraphs(block.line);
  const stack: Node[] = parts.map((part, index) =>
    text(part, { ...body, ink: block.ink }, context.section.child('P'), context, {
      flow: true,
      margin: [0, 0, 0, index + 1 < parts.length ? 5 : 6],
    }),
  );
  if (block.mark !== null) stack.unshift(markNode(block.mark, body.size, context));
  return { stack, needs: 30 };
}

/** Splits runs at blank lines; what is inside a run keeps its manner on both sides. */
export function paragraphs(line: Line): Line[] {
  const out: Line[] = [[]];
  for (const run of line) {
    const parts = run.text.replace(/\r\n?/g, '\n').split(/\n[ \t]*\n\s*/);
    parts.forEach((part, index) => {
      if (index > 0) out.push([]);
      if (part !== '') out[out.length - 1] = [...(out.at(-1) ?? []), { ...run, text: part }];
    });
  }
  const filled = out.filter((part) => plain(part).trim() !== '');
  return filled.length === 0 ? [line] : filled;
}

export function list(block: Of<'list'>, context: BlockContext): Node {
  const tag = context.section.child('L');
  const item = (line: Line): Node => {
    const entry = tag.child('LI').child('LBody');
    return {
      columns: [
        { width: 11, ...text([{ text: '–', tone: 'quiet' }], body, null, context) },
        { width: '*', ...text(line, { ...body, ink: block.ink }, entry, context) },
      ],
      columnGap: 0,
      margin: [0, 0, 0, 1.5],
    };
  };
  const mark = block.mark === null ? [] : [markNode(block.mark, body.size, context)];
  if (block.columns === 1 || block.items.length < 4) {
    return { stack: [...mark, ...block.items.map(item)], margin: [0, 0, 0, 5], needs: 32 };
  }
  // Read down the left column, then down the right.
  const half = Math.ceil(block.items.length / 2);
  const nodes = block.items.map(item);
  return {
    stack: [
      ...mark,
      { columns: [{ stack: nodes.slice(0, half) }, { stack: nodes.slice(half) }], columnGap: 16 },
    ],
    margin: [0, 0, 0, 5],
    needs: 32,
  };
}

/** Ruled above and below, its title first: stands out without a box of colour. */
export function notice(block: Of<'notice'>, context: BlockContext): Node {
  const tag = context.section.child('Note');
  const stack = [
    ...(block.title === ''
      ? []
      : [
          text([{ text: block.title, weight: 'bold' }], small, tag.child('P'), context, {
            margin: [0, 0, 0, 1],
          }),
        ]),
    ...paragraphs(block.line).map((part) => text(part, small, tag.child('P'), context)),
  ];
  const height = heightOf(paragraphs(block.line), small, bodyWidth - 12, context);
  return barred(stack, strongRule, [0, 3, 0, 7], height + 16);
}

/** Follows its table or workings; never one line of it alone on a page. */
export const smallPrint = (block: Of<'small-print'>, context: BlockContext): Node =>
  text(block.line, { ...tiny, color: quiet }, context.section.child('P'), context, {
    flow: true,
    margin: [0, -2, 0, 8],
  });

export function comment(block: Of<'comment'>, context: BlockContext): Node {
  const tag = context.section.child('Note');
  const ink: Ink = 'instructor';
  const about = block.about === '' ? '' : `, on ${block.about}`;
  const stack: Node[] = [
    text(
      [
        { text: block.who, weight: 'bold', ink },
        { text: `${about}  `, ink },
        { text: `${block.when}${block.isSettled ? '  ✓ settled' : ''}`, tone: 'quiet' },
      ],
      small,
      tag.child('P'),
      context,
    ),
    ...paragraphs(block.line).map((part) =>
      text(part, { ...body, ink }, tag.child('P'), context, { margin: [0, 1, 0, 0] }),
    ),
  ];
  return {
    stack: [
      markNode({ ink, initials: block.initials }, 8.5, context),
      barred(stack, inks.instructor, [0, 0, 0, 0]),
    ],
    margin: [0, 3, 0, 7],
    needs: heightOf(paragraphs(block.line), body, bodyWidth - 12, context) + 18,
  };
}

/** A stack with a bar down its left side, which follows it over a page end. */
export function barred(stack: Node[], color: string, margin: Margin, needs = 0): Node {
  return {
    margin,
    needs,
    table: { widths: ['*'], body: [[{ stack, border: [true, false, false, false] }]] },
    layout: {
      hLineWidth: () => 0,
      vLineWidth: (column: number) => (column === 0 ? 1.6 : 0),
      vLineColor: () => color,
      paddingLeft: () => 8,
      paddingRight: () => 0,
      paddingTop: () => 1,
      paddingBottom: () => 1.5,
    },
  };
}

/** Small print above a table (which needs `room` to begin) or below a picture. */
export const captionOf = (line: Line, context: BlockContext, place: 'above' | 'below', room = 0): Node =>
  text(line, { ...tiny, color: quiet }, context.section.child('Caption'), context, {
    margin: place === 'above' ? [0, 1, 0, 2] : [0, 2, 0, 8],
    ...(place === 'above' ? { needs: room + 26 } : {}),
  });

/** Height of paragraphs set at `width`, pt, rather more than less; only short ones are kept on one page. */
function heightOf(parts: readonly Line[], setting: Setting, width: number, context: BlockContext): number {
  let lines = 0;
  for (const part of parts) {
    const length = plain(part).length;
    if (length > 1200) return longest;
    lines += plain(part).split('\n').length;
    lines += Math.floor(context.type.width(context.type.pieces(part, setting)) / (width * 0.95));
  }
  return Math.min(longest, lines * setting.size * 1.43 + 8);
}
const longest = 150;
