import type { Block } from '../../../core/report/report-document.ts';
import { bodyWidth } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { BlockContext } from './context.ts';
import { chart, image, reaction } from './figures.ts';
import { index, spread, table } from './tables.ts';
import { comment, heading, list, notice, paragraph, smallPrint } from './text-blocks.ts';
import { certificate } from './certificate.ts';
import { factGrid, title } from './title.ts';
import { signature, working } from './working.ts';

/** Two or three lines of small print, pt. */
const smallPrintRoom = 40;

/** The blocks of a part as nodes of a pdfmake definition, in order. */
export function buildBlocks(blocks: readonly Block[], context: BlockContext): Node[] {
  const nodes: Node[] = [];
  let headings: { block: Extract<Block, { kind: 'heading' }>; at: number }[] = [];
  // Small print between a heading and its table belongs to both.
  let printBetween = 0;
  for (const block of blocks) {
    if (block.kind === 'heading') {
      headings.push({ block, at: nodes.length });
      nodes.push({});
      continue;
    }
    const made = build(block, context);
    if (block.kind === 'small-print' && headings.length > 0) {
      printBetween += smallPrintRoom;
      nodes.push(...made);
      continue;
    }
    // A heading stays with what follows it, however high that is: a drawing, a first row, headings between.
    const needed = made[0]?.['needs'];
    let room = printBetween + (typeof needed === 'number' ? needed : 0);
    for (const { block: one, at } of headings.toReversed()) {
      const node = heading(one, context, room);
      nodes[at] = node;
      room = node['needs'] as number;
    }
    headings = [];
    printBetween = 0;
    nodes.push(...made);
  }
  for (const { block, at } of headings) nodes[at] = heading(block, context);
  return nodes;
}

function build(block: Exclude<Block, { kind: 'heading' }>, context: BlockContext): Node[] {
  switch (block.kind) {
    case 'title':
      return title(block, context);
    case 'paragraph':
      return [paragraph(block, context)];
    case 'list':
      return block.items.length === 0 ? [] : [list(block, context)];
    case 'facts':
      return [{ stack: [factGrid(block.facts, bodyWidth, context, 92)], margin: [0, 4, 0, 8] }];
    case 'notice':
      return [notice(block, context)];
    case 'small-print':
      return [smallPrint(block, context)];
    case 'table':
      return table(block, context);
    case 'spread':
      return block.rows.length === 0 ? [] : [spread(block, context)];
    case 'reaction':
      return reaction(block, context);
    case 'chart':
      return chart(block, context);
    case 'working':
      return [working(block, context)];
    case 'signature':
      return [signature(block, context)];
    case 'comment':
      return [comment(block, context)];
    case 'image':
      return image(block, context);
    case 'certificate':
      return certificate(block, context);
    case 'index':
      return [index(block.rows, context)];
  }
}
