import type { Block, Fact, Figure, Line, Stamp } from '../../../core/report/report-document.ts';
import { fingerprintCode } from '../fingerprint-code.ts';
import { bodyWidth, fineRule, inks, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import { num, svgPieces, wrapped } from '../svg-text.ts';
import type { Setting } from '../typeset.ts';
import { body, small, text, tiny } from './context.ts';
import type { BlockContext } from './context.ts';

type Of<K extends Block['kind']> = Extract<Block, { kind: K }>;

const sideWidth = 118;
const codeSize = 66;
const stampLeading = 11;

/** Entry number, title and facts on the left; stamp and fingerprint on the right; the figures below. */
export function title(block: Of<'title'>, context: BlockContext): Node[] {
  const tag = context.section.child('H1');
  const side: Node[] = [];
  if (block.stamp !== null) side.push(stampNode(block.stamp, sideWidth, context));
  if (block.fingerprint !== null) {
    side.push({
      svg: fingerprintCode(block.fingerprint.full, codeSize),
      width: codeSize,
      alignment: 'right',
      margin: [0, 6, 0, 0],
      tag: context.section.child('Figure', { alt: `QR code of the fingerprint ${block.fingerprint.full}` }),
    });
    side.push(
      text(
        [{ text: block.fingerprint.short, tone: 'quiet' }],
        { ...tiny, size: 6.6 },
        context.section.child('P'),
        context,
        {
          alignment: 'right',
        },
      ),
    );
  }
  const hasSide = side.length > 0;
  const room = hasSide ? bodyWidth - sideWidth - 18 : bodyWidth;
  const titleSize = sizeForLines(block.title, [23, 19, 16], room, 2, context);
  const main: Node[] = [
    text(block.eyebrow, { ...small, size: 9 }, context.section.child('P'), context, { margin: [0, 0, 0, 1] }),
    text(block.title, { face: 'serif', size: titleSize, bold: true }, tag, context, {
      lineHeight: 0.92,
      margin: [0, 0, 0, 8],
    }),
    factGrid(block.facts, room, context),
  ];
  const head: Node = hasSide
    ? {
        columns: [
          { width: '*', stack: main },
          { width: sideWidth, stack: side },
        ],
        columnGap: 18,
      }
    : { stack: main };
  return [head, ...(block.figures.length === 0 ? [] : [figureStrip(block.figures, context)])];
}

/** Label and value, in as many pairs of columns as there is room for. */
export function factGrid(
  facts: readonly Fact[],
  width: number,
  context: BlockContext,
  labelWidth = 46,
): Node {
  const columns = 2;
  const each = (width - 10 * (columns - 1)) / columns;
  const cells = facts.map((fact): Node => {
    const tag = context.section.child('P');
    return {
      columns: [
        {
          width: labelWidth,
          ...text([{ text: fact.label, tone: 'quiet' }], small, tag, context, { margin: [0, 0.9, 0, 0] }),
        },
        { width: each - labelWidth - 4, ...text(fact.value, { ...body, size: 9.4 }, tag, context) },
      ],
      columnGap: 4,
      margin: [0, 0, 0, 1.5],
    };
  });
  const rows: Node[] = [];
  for (let index = 0; index < cells.length; index += columns) {
    rows.push({
      columnGap: 10,
      columns: [
        ...cells.slice(index, index + columns),
        ...Array.from({ length: columns }, () => ({ text: '' })),
      ].slice(0, columns),
    });
  }
  return { stack: rows };
}

/** The first of the sizes at which the line takes no more than so many lines; the last if none does. */
function sizeForLines(
  line: Line,
  sizes: readonly number[],
  width: number,
  most: number,
  context: BlockContext,
): number {
  const fits = (size: number): boolean =>
    wrapped(line, { face: 'serif', size, bold: true }, width, context.type).length <= most;
  return sizes.find(fits) ?? sizes.at(-1) ?? 10;
}

/** The entry's figures side by side, between two rules; each as wide as it needs, smaller where they need more. */
function figureStrip(figures: readonly Figure[], context: BlockContext): Node {
  const gap = 6;
  const total = bodyWidth - gap * 2 * (figures.length - 1) - 0.5 * figures.length;
  const width = (line: Line, size: number, face: 'serif' | 'sans'): number =>
    context.type.width(context.type.pieces(line, { face, size, bold: face === 'serif' }));
  const needed = (size: number): number[] =>
    figures.map(
      (figure) =>
        Math.max(
          width(figure.value, size, 'serif'),
          width(figure.note, tiny.size, 'sans'),
          width([{ text: figure.label }], tiny.size, 'sans'),
        ) + 1,
    );
  const sum = (values: readonly number[]): number => values.reduce((all, one) => all + one, 0);
  const size = [11.5, 10.5, 9.5, 8.5].find((one) => sum(needed(one)) <= total) ?? 8.5;
  const least = needed(size);
  const spare = total - sum(least);
  const widths =
    spare >= 0 ? least.map((one) => one + spare / figures.length) : figures.map(() => total / figures.length);
  return {
    margin: [0, 10, 0, 4],
    table: {
      widths,
      body: [
        figures.map((figure): Node => {
          const tag = context.section.child('P');
          return {
            stack: [
              text([{ text: figure.label, tone: 'quiet' }], tiny, tag, context),
              text(figure.value, { face: 'serif', size, bold: true }, tag, context),
              ...(figure.note.length === 0 ? [] : [text(figure.note, tiny, tag, context)]),
            ],
          };
        }),
      ],
    },
    layout: {
      hLineWidth: () => 0.8,
      hLineColor: () => strongRule,
      vLineWidth: (column: number) => (column === 0 || column === figures.length ? 0 : 0.5),
      vLineColor: () => fineRule,
      paddingLeft: (column: number) => (column === 0 ? 0 : gap),
      paddingRight: (column: number) => (column === figures.length - 1 ? 0 : gap),
      paddingTop: () => 4,
      paddingBottom: () => 5,
    },
  };
}

/** A frame within a frame, as a rubber stamp leaves it. */
export function stampNode(stamp: Stamp, width: number, context: BlockContext): Node {
  const color = inks[stamp.ink];
  const lines: [string, Setting][] = [
    [stamp.text.toUpperCase(), { face: 'sans', size: 9.4, bold: true, color }],
    [stamp.date, { face: 'sans', size: 8, color }],
    [stamp.by, { face: 'sans', size: 8, color }],
  ];
  const rows = lines
    .filter(([words]) => words !== '')
    .flatMap(([words, setting]) => wrapped([{ text: words }], setting, width - 12, context.type));
  const height = rows.length * stampLeading + 11;
  const frame = (inset: number, stroke: number): string =>
    `<rect x="${inset}" y="${inset}" width="${num(width - 2 * inset)}" height="${num(height - 2 * inset)}" fill="none" stroke="${color}" stroke-width="${stroke}"/>`;
  const words = rows
    .map((row, index) => svgPieces(row, width / 2, 14 + index * stampLeading, 'middle', context.type))
    .join('');
  return {
    svg: `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${num(height)}" viewBox="0 0 ${width} ${num(height)}">${frame(0.7, 1.3)}${frame(3, 0.5)}${words}</svg>`,
    width,
    height,
    tag: context.section.child('Figure', {
      alt: `Stamp: ${[stamp.text, stamp.date, stamp.by].filter(Boolean).join(', ')}`,
    }),
  };
}
