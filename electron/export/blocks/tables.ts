import type {
  Cell,
  Column,
  IndexRow,
  Line,
  SpreadBlock,
  TableBlock,
} from '../../../core/report/report-document.ts';
import { bodyWidth, differenceTint, foldTint, inks, quiet, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { Tag } from '../tags.ts';
import type { Setting } from '../typeset.ts';
import { small, text, tiny } from './context.ts';
import type { BlockContext } from './context.ts';
import {
  carriedOn,
  compactText,
  decimalTails,
  field,
  normalText,
  padding,
  rowHeight,
  ruled,
  widths,
} from './grid.ts';
import type { CarriedRow, GridColumn } from './grid.ts';
import { captionOf } from './text-blocks.ts';

const headText: Setting = { face: 'sans', size: 7.5, bold: true, color: quiet };
const foldText: Setting = { face: 'sans', size: 8 };
const foldWidth = 54;

const headCell = (column: Column, row: Tag, context: BlockContext): Node =>
  text(column.head, headText, row.child('TH', { isRepeated: true }), context, {
    alignment: column.align === 'left' ? 'left' : 'right',
  });

export function table(block: TableBlock, context: BlockContext): Node[] {
  const isCompact = block.density === 'compact';
  const tag = context.section.child('Table');
  const columns = widths(block.columns, bodyWidth, isCompact ? compactText : normalText);
  const hasHead = columns.some((column) => column.head.length > 0);
  const head = tag.child('TR', { isRepeated: true });
  const rows = carriedOn(block.rows, columns, context);
  const tails = decimalTails(rows, columns, context);
  const bodyRows = [
    ...(hasHead ? [columns.map((column) => headCell(column, head, context))] : []),
    ...rows.map((row) => {
      const line = tag.child('TR');
      return columns.map((column, index) =>
        field(row.cells[index] ?? [], column, tails[index] ?? 0, line.child('TD'), context),
      );
    }),
  ];
  if (bodyRows.length === 0) return [];
  const first = hasHead ? 1 : 0;
  const node: Node = {
    margin: [0, 2, 0, 8],
    needs: (hasHead ? 17 : 0) + rowHeight(rows[0]?.cells, columns, context),
    table: {
      widths: columns.map((column) => column.width),
      headerRows: first,
      ...(hasHead && rows.length > 0 ? { keepWithHeaderRows: 1 } : {}),
      dontBreakRows: true,
      body: bodyRows,
    },
    layout: ruled(
      (line) => {
        if (line === 0 || line === bodyRows.length) return 0.8;
        if (hasHead && line === 1) return 0.5;
        if (rows[line - first]?.isContinuation === true) return 0;
        return isCompact ? 0.25 : 0.4;
      },
      first,
      isCompact,
    ),
  };
  // Above the table: below, its last line may be left alone on the next page.
  return block.caption === null
    ? [node]
    : [captionOf(block.caption, context, 'above', node['needs'] as number), node];
}

/** The spread: two pages with the fold between them, which carries the difference. */
export function spread(block: SpreadBlock, context: BlockContext): Node {
  const tag = context.section.child('Table');
  const shares = (side: { columns: readonly Column[] }): number =>
    side.columns.reduce((all, one) => all + one.share, 0);
  // The two lines of the fold take a point.
  const perShare = (bodyWidth - foldWidth - 1) / (shares(block.left) + shares(block.right));
  const left = widths(block.left.columns, shares(block.left) * perShare, normalText, 'left');
  const right = widths(block.right.columns, shares(block.right) * perShare, normalText, 'right');
  const fold: GridColumn = {
    head: [],
    align: 'left',
    share: 0,
    width: foldWidth - 2 * padding,
    setting: foldText,
  };
  const columns = [...left, fold, ...right];
  const at = left.length;

  const rows = block.rows.flatMap((row) =>
    carriedOn([[...row.left, foldCell(row.fold, row.deviates), ...row.right]], columns, context).map(
      (one) => ({
        ...one,
        deviates: !one.isContinuation && row.deviates,
      }),
    ),
  );
  const tails = decimalTails(rows, columns, context);
  const heads = columns.some((column) => column.head.length > 0) ? 2 : 1;
  const first = tag.child('TR', { isRepeated: true });
  const second = tag.child('TR', { isRepeated: true });
  const bodyRows: Node[][] = [
    [
      sideHead(block.left.head, left.length, inks.print, first, context),
      ...blanks(left.length - 1),
      text(
        [{ text: block.foldHead }],
        { ...headText, size: 7 },
        first.child('TH', { isRepeated: true }),
        context,
        {
          alignment: 'center',
        },
      ),
      sideHead(block.right.head, right.length, inks.student, first, context),
      ...blanks(right.length - 1),
    ],
    ...(heads === 2 ? [columns.map((column) => headCell(column, second, context))] : []),
    ...rows.map((row) => spreadRow(row, columns, at, tails, tag.child('TR'), context)),
  ];
  return {
    margin: [0, 3, 0, 9],
    needs: 17 * heads + rowHeight(rows[0]?.cells, columns, context),
    table: {
      widths: columns.map((column) => column.width),
      headerRows: heads,
      ...(rows.length > 0 ? { keepWithHeaderRows: 1 } : {}),
      dontBreakRows: true,
      body: bodyRows,
    },
    layout: {
      ...ruled((line) => {
        if (line === 0 || line === bodyRows.length) return 0.8;
        if (line < heads) return 0;
        if (line === heads) return 0.5;
        return rows[line - heads]?.isContinuation === true ? 0 : 0.4;
      }, heads),
      vLineWidth: (column: number) => (column === at || column === at + 1 ? 0.5 : 0),
      vLineColor: () => strongRule,
      fillColor: (row: number, _node: unknown, column: number) =>
        column === at && row < heads ? foldTint : null,
    },
  };
}

function spreadRow(
  row: CarriedRow & { readonly deviates: boolean },
  columns: readonly GridColumn[],
  fold: number,
  tails: readonly number[],
  tag: Tag,
  context: BlockContext,
): Node[] {
  return columns.map((column, index) => {
    const cell = row.cells[index] ?? [];
    if (index !== fold) return field(cell, column, tails[index] ?? 0, tag.child('TD'), context);
    return {
      ...text(cell[0] ?? [], foldText, tag.child('TD'), context, { alignment: 'center' }),
      fillColor: row.deviates ? differenceTint : foldTint,
    };
  });
}

/** Bold and with a sign of its own where the sides differ: the tint alone would say it by colour. */
function foldCell(line: Line, deviates: boolean): Cell {
  if (!deviates) return [line];
  return [[{ text: '◆ ', weight: 'bold' }, ...line.map((run) => ({ ...run, weight: 'bold' as const }))]];
}

const sideHead = (words: string, span: number, color: string, row: Tag, context: BlockContext): Node => ({
  ...text(
    [{ text: words }],
    { face: 'sans', size: 8.4, bold: true, color },
    row.child('TH', { isRepeated: true }),
    context,
  ),
  colSpan: span,
});
const blanks = (count: number): Node[] => Array.from({ length: count }, () => ({ text: '' }));

const indexColumns: readonly Column[] = [
  { head: [{ text: 'No.' }], align: 'right', share: 24 },
  { head: [{ text: 'Date' }], align: 'left', share: 84 },
  { head: [{ text: 'Preparation' }], align: 'left', share: 178 },
  { head: [{ text: 'State' }], align: 'left', share: 74 },
  { head: [{ text: 'Initials' }], align: 'left', share: 50 },
  { head: [{ text: 'Mark' }], align: 'right', share: 34 },
  { head: [{ text: 'Page' }], align: 'right', share: 32 },
];
const indexText: Setting = { face: 'serif', size: 10 };

/** The index page: every line leads to its entry. */
export function index(rows: readonly IndexRow[], context: BlockContext): Node {
  const tag = context.section.child('Table');
  const columns = widths(indexColumns, bodyWidth, normalText);
  const head = tag.child('TR', { isRepeated: true });
  return {
    margin: [0, 8, 0, 8],
    table: {
      widths: columns.map((column) => column.width),
      headerRows: 1,
      dontBreakRows: true,
      body: [
        columns.map((column) => headCell(column, head, context)),
        ...rows.map((row) => indexLine(row, tag.child('TR'), context)),
      ],
    },
    layout: {
      ...ruled((line) => (line === 0 || line === rows.length + 1 ? 0.8 : line === 1 ? 0.5 : 0.4), 1),
      paddingTop: () => 3.6,
      paddingBottom: () => 4.2,
    },
  };
}

function indexLine(row: IndexRow, tag: Tag, context: BlockContext): Node[] {
  const link = row.part === null ? {} : { goTo: row.part };
  const one = (content: Line, setting: Setting, alignment: 'left' | 'right', drop = 0): Node =>
    text(content, setting, tag.child('TD'), context, { alignment, margin: [0, drop, 0, 0], ...link });
  const pageNumber = row.part === null ? '–' : context.pageOf(row.part);
  return [
    one([{ text: row.number }], indexText, 'right'),
    one([{ text: row.date }], { ...small, size: 9 }, 'left', 0.9),
    one(row.title, indexText, 'left'),
    one(row.state, { ...small, size: 9 }, 'left', 0.9),
    one(row.initials, { ...tiny, size: 8.6, bold: true }, 'left', 1.4),
    one([{ text: row.mark }], { ...small, size: 9 }, 'right', 0.9),
    one([{ text: pageNumber }], indexText, 'right'),
  ];
}
