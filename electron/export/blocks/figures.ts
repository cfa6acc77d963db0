import type { Block } from '../../../core/report/report-document.ts';
import { bodyHeight, bodyWidth } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import { reactionScheme } from '../reaction-scheme.ts';
import { chartHeight, temperatureChart } from '../temperature-chart.ts';
import type { Piece } from '../typeset.ts';
import { plain, small, text } from './context.ts';
import type { BlockContext } from './context.ts';
import { captionOf } from './text-blocks.ts';

type Of<K extends Block['kind']> = Extract<Block, { kind: K }>;

export function reaction(block: Of<'reaction'>, context: BlockContext): Node[] {
  const nodes: Node[] = [];
  const hasEquation = block.equation.length > 0;
  const scheme = reactionScheme(block, context.type, context.drawer);
  if (hasEquation) {
    // Breaking an equation is the last resort.
    const width = (size: number): number =>
      context.type.width(context.type.pieces(block.equation, { face: 'serif', size })) + 12;
    const size = [12, 11, 10].find((one) => width(one) <= bodyWidth) ?? 11;
    const node = text(block.equation, { face: 'serif', size }, context.section.child('P'), context, {
      alignment: 'center',
      margin: [0, 4, 0, 8],
    });
    nodes.push({ ...node, text: longArrows(node['text'] as Piece[]), needs: 40 + (scheme?.height ?? 0) });
  }
  if (scheme !== null) {
    nodes.push({
      svg: scheme.svg,
      width: scheme.width,
      height: scheme.height,
      needs: scheme.height,
      margin: [0, 2, 0, 8],
      tag: context.section.child('Figure', { alt: block.spoken }),
    });
  }
  return nodes;
}

/** The serif's own arrow is hardly longer than a minus; a reaction arrow should be seen. */
const longArrows = (pieces: readonly Piece[]): Piece[] =>
  pieces.flatMap((piece) =>
    piece.text
      .split(/([→⇌])/u)
      .filter((part) => part !== '')
      .map((part) =>
        /[→⇌]/u.test(part) ? { ...piece, text: part, font: 'rare' as const } : { ...piece, text: part },
      ),
  );

export function chart(block: Of<'chart'>, context: BlockContext): Node[] {
  if (block.points.length === 0) return [];
  return [
    {
      needs: chartHeight + 30,
      ...text(block.title, { ...small, bold: true }, context.section.child('P'), context, {
        margin: [0, 6, 0, 4],
      }),
    },
    {
      svg: temperatureChart(block, context.type),
      width: bodyWidth,
      height: chartHeight,
      margin: [0, 0, 0, 8],
      tag: context.section.child('Figure', { alt: block.spoken }),
    },
  ];
}

const captionRoom = 40;

/** An image at most as wide as the text and half a page high; what cannot be printed is named with its hash. */
export function image(block: Of<'image'>, context: BlockContext): Node[] {
  const size = context.imageSize(block.sha256);
  const name: Node = captionOf(
    [
      ...block.caption,
      ...(plain(block.caption) === '' ? [] : [{ text: '  ' }]),
      { text: `${block.name}, SHA-256 ${block.sha256}${whereItIs(block)}`, tone: 'quiet' as const },
    ],
    context,
    'below',
  );
  if (size === null) {
    const words = `File “${block.name}” (${block.mediaType}, ${sizeText(block.sizeBytes)}) is part of this version and is not printed here.`;
    return [
      text([{ text: words }], small, context.section.child('P'), context, { margin: [0, 4, 0, 1] }),
      name,
    ];
  }
  // 96 pixels to the inch is the coarsest a picture is enlarged to.
  const width = Math.min(bodyWidth, size.width * 0.75);
  const height = Math.min(bodyHeight / 2, (size.height * width) / size.width);
  return [
    {
      image: block.sha256,
      fit: [width, height],
      needs: height + captionRoom,
      margin: [0, 6, 0, 3],
      tag: context.section.child('Figure', { alt: plain(block.caption) || block.name }),
    },
    name,
  ];
}

/** Where the file itself is to be found. */
function whereItIs({ carriedAs }: Of<'image'>): string {
  if (carriedAs === undefined) return '';
  return carriedAs === null
    ? '; the file itself is in the notebook and its deposit'
    : `; inside this PDF as ${carriedAs}`;
}

/** @source IEC 80000-13 (kB = 1000 B) */
function sizeText(bytes: number): string {
  if (bytes < 1000) return `${bytes}\u2009B`;
  return bytes < 1e6 ? `${Math.round(bytes / 1e3)}\u2009kB` : `${(bytes / 1e6).toFixed(1)}\u2009MB`;
}
