import type {
  Cell,
  Column,
  IndexRow,
  Line,
  SpreadBlock,
  TableBlock,
} from '../../../core/report/report-document.ts';
import { bodyWidth, differenceTint, fineRule, foldTint, inks, quiet, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { Tag } from '../tags.ts';
import type { Setting } from '../typeset.ts';
import { plain, small, text, tiny } from './context.ts';
import type { BlockContext } from './context.ts';
import { captionOf } from './text-blocks.ts';

const padding = 4;
const cellText: Setting = { face: 'sans', size: 8.6 };
const headText: Setting = { face: 'sans', size: 7.5, bold: true, color: quiet };
/** Lines of a field beyond which it is carried on in a further row, so that a row always fits a page. */
const mostLines = 16;

interface GridColumn extends Column {
  readonly width: number;
}

/** Points for each column; padding is part of the share, and the outer edges have none. */
function widths(
  columns: readonly Column[],
  total: number,
  edges: 'both' | 'left' | 'right' = 'both',
): GridColumn[] {
  const sum = columns.reduce((all, column) => all + column.share, 0);
  return columns.map((column, index) => {
    const isFlushLeft = index === 0 && edges !== 'right';
    const isFlushRight = index === columns.length - 1 && edges !== 'left';
    const sides = 2 - (isFlushLeft ? 1 : 0) - (isFlushRight ? 1 : 0);
    return { ...column, width: (column.share / sum) * total - sides * padding };
  });
}

export function table(block: TableBlock, context: BlockContext): Node[] {
  const tag = context.section.child('Table');
  const columns = widths(block.columns, bodyWidth);
  const hasHead = columns.some((column) => column.head.length > 0);
  const head = tag.child('TR', { isRepeated: true });
  const rows = carriedOn(block.rows, columns, context);
  const tails = decimalTails(
    rows.map((row) => row.cells),
    columns,
    context,
  );
  const cells = rows.map((row) => {
    const line = tag.child('TR');
    return columns.map((column, index) =>
      field(row.cells[index] ?? [], column, tails[index] ?? 0, line.child('TD'), context),
    );
  });
  const bodyRows = [
    ...(hasHead
      ? [
          columns.map((column) =>
            text(column.head, headText, head.child('TH', { isRepeated: true }), context, {
              alignment: column.align === 'left' ? 'left' : 'right',
            }),
          ),
        ]
      : []),
    ...cells,
  ];
  if (bodyRows.length === 0) return [];
  const first = hasHead ? 1 : 0;
  const node: Node = {
    margin: [0, 2, 0, block.caption === null ? 8 : 2],
    needs: 46,
    table: {
      widths: columns.map((column) => column.width),
      headerRows: first,
      ...(hasHead && cells.length > 0 ? { keepWithHeaderRows: 1 } : {}),
      dontBreakRows: true,
      body: bodyRows,
    },
    layout: ruled((line) => {
      if (line === 0 || line === bodyRows.length) return 0.8;
      if (hasHead && line === 1) return 0.5;
      return rows[line - first]?.isContinuation === true ? 0 : 0.4;
    }, first),
  };
  return block.caption === null ? [node] : [node, captionOf(block.caption, context)];
}

function ruled(width: (line: number) => number, head: number): Node {
  return {
    hLineWidth: width,
    vLineWidth: () => 0,
    hLineColor: (line: number, node: { table: { body: unknown[] } }) =>
      line === 0 || line <= head || line === node.table.body.length ? strongRule : fineRule,
    paddingLeft: (column: number) => (column === 0 ? 0 : padding),
    paddingRight: (column: number, node: { table: { widths: unknown[] } }) =>
      column === node.table.widths.length - 1 ? 0 : padding,
    paddingTop: (row: number) => (row < head ? 2.5 : 2.6),
    paddingBottom: () => 3,
  };
}

/** One field: its lines under each other; a decimal column is right-aligned less each number's tail. */
function field(cell: Cell, column: GridColumn, tail: number, tag: Tag, context: BlockContext): Node {
  const lines: Cell = cell.length === 0 ? [[]] : cell;
  return {
    stack: lines.map((line) => {
      if (column.align === 'left') return text(line, cellText, tag, context);
      const own = column.align === 'decimal' ? tailOf(line, context) : null;
      return text(line, cellText, tag, context, {
        alignment: 'right',
        margin: [0, 0, own === null ? 0 : Math.max(0, tail - own), 0],
      });
    }),
  };
}

/** Width of what follows the whole number: decimals and unit. Null for what is no number. */
function tailOf(line: Line, context: BlockContext): number | null {
  const match = /^\s*[≈<>~±]?\s*[−-]?\d+/u.exec(plain(line));
  if (match === null) return null;
  const all = context.type.width(context.type.pieces(line, cellText));
  return all - context.type.width(context.type.pieces(firstPart(line, match[0].length), cellText));
}

function firstPart(line: Line, length: number): Line {
  const out = [];
  let left = length;
  for (const run of line) {
    if (left <= 0) break;
    out.push({ ...run, text: run.text.slice(0, left) });
    left -= run.text.length;
  }
  return out;
}

/** The longest tail of each decimal column, or 0 where the numbers would not fit with it. */
function decimalTails(
  rows: readonly (readonly Cell[])[],
  columns: readonly GridColumn[],
  context: BlockContext,
): number[] {
  return columns.map((column, index) => {
    if (column.align !== 'decimal') return 0;
    let longestHead = 0;
    let longestTail = 0;
    for (const row of rows) {
      for (const line of row[index] ?? []) {
        const tail = tailOf(line, context);
        if (tail === null) continue;
        const all = context.type.width(context.type.pieces(line, cellText));
        longestHead = Math.max(longestHead, all - tail);
        longestTail = Math.max(longestTail, tail);
      }
    }
    return longestHead + longestTail > column.width ? 0 : longestTail;
  });
}

interface CarriedRow {
  readonly cells: readonly Cell[];
  readonly isContinuation: boolean;
}

/**
 * Rows that fit a page: a field of very many lines goes on in rows of its own. pdfmake keeps a row
 * together, and drops what of it does not fit on one page.
 */
function carriedOn(
  rows: readonly (readonly Cell[])[],
  columns: readonly GridColumn[],
  context: BlockContext,
): CarriedRow[] {
  return rows.flatMap((row) => {
    const parts = columns.map((column, index) => portions(row[index] ?? [], column.width, context));
    const count = Math.max(...parts.map((part) => part.length));
    return Array.from({ length: count }, (_, index) => ({
      cells: parts.map((part) => part[index] ?? []),
      isContinuation: index > 0,
    }));
  });
}

function portions(cell: Cell, width: number, context: BlockContext): Cell[] {
  const lines = cell.flatMap((line) => shortLines(line, width, context));
  const out: Cell[] = [];
  let current: Line[] = [];
  let used = 0;
  for (const line of lines) {
    const height = linesIn(line, width, context);
    if (current.length > 0 && used + height > mostLines) {
      out.push(current);
      current = [];
      used = 0;
    }
    current.push(line);
    used += height;
  }
  out.push(current);
  return out;
}

/** Lines a text takes in a column, a little more rather than less. */
function linesIn(line: Line, width: number, context: BlockContext): number {
  const parts = plain(line).split('\n').length;
  // 8.6 pt sans averages 4.2 pt a character; measuring is for texts near the limit only.
  if (plain(line).length * 3 < width) return parts;
  return parts + Math.floor(context.type.width(context.type.pieces(line, cellText)) / (width * 0.92));
}

/** A text longer than a row may be is cut at a space into texts that are not. */
function shortLines(line: Line, width: number, context: BlockContext): Line[] {
  if (plain(line).length < 200 && !plain(line).includes('\n')) return [line];
  const most = Math.floor((width / 4.4) * (mostLines - 2));
  const out: Line[] = [[]];
  let used = 0;
  for (const run of line) {
    for (const part of run.text.split(/(?<=\n)/)) {
      let rest = part;
      while (rest !== '') {
        let take = rest.length;
        if (used + take > most) {
          const space = rest.lastIndexOf(' ', most - used);
          take = space > 0 ? space + 1 : used > 0 ? 0 : cutBefore(rest, most);
        }
        const piece = rest.slice(0, take);
        if (piece !== '')
          out[out.length - 1] = [...(out.at(-1) ?? []), { ...run, text: piece.replace(/\n$/, '') }];
        rest = rest.slice(take);
        used += piece.length;
        if (piece.endsWith('\n') || rest !== '') {
          out.push([]);
          used = 0;
        }
      }
    }
  }
  void context;
  return out.at(-1)?.length === 0 && out.length > 1 ? out.slice(0, -1) : out;
}

/** A place near `at` that does not part the halves of a character. */
const cutBefore = (text: string, at: number): number =>
  (text.charCodeAt(at) & 0xfc00) === 0xdc00 ? at - 1 : at;

const foldWidth = 54;

/** The spread: two pages with the fold between them, which carries the difference. */
export function spread(block: SpreadBlock, context: BlockContext): Node {
  const tag = context.section.child('Table');
  const total = bodyWidth - foldWidth - 1;
  const sum = (side: { columns: readonly Column[] }): number =>
    side.columns.reduce((all, one) => all + one.share, 0);
  const perShare = total / (sum(block.left) + sum(block.right));
  const left = widths(block.left.columns, sum(block.left) * perShare, 'left');
  const right = widths(block.right.columns, sum(block.right) * perShare, 'right');
  const fold: GridColumn = { head: [], align: 'left', share: 0, width: foldWidth - 2 * padding };
  const columns = [...left, fold, ...right];
  const at = left.length;

  const source = block.rows.map((row) => [...row.left, foldCell(row.fold, row.deviates), ...row.right]);
  const rows: (CarriedRow & { deviates: boolean })[] = [];
  source.forEach((cells, index) => {
    for (const one of carriedOn([cells], columns, context)) {
      rows.push({ ...one, deviates: !one.isContinuation && (block.rows[index]?.deviates ?? false) });
    }
  });
  const tails = decimalTails(
    rows.map((row) => row.cells),
    columns,
    context,
  );
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
        { alignment: 'center' },
      ),
      sideHead(block.right.head, right.length, inks.student, first, context),
      ...blanks(right.length - 1),
    ],
    ...(heads === 2
      ? [
          columns.map((column) =>
            text(column.head, headText, second.child('TH', { isRepeated: true }), context, {
              alignment: column.align === 'left' ? 'left' : 'right',
            }),
          ),
        ]
      : []),
    ...rows.map((row) => {
      const line = tag.child('TR');
      return columns.map((column, index) => {
        const cell = row.cells[index] ?? [];
        if (index !== at) return field(cell, column, tails[index] ?? 0, line.child('TD'), context);
        return {
          ...text(cell[0] ?? [], { ...cellText, size: 8 }, line.child('TD'), context, {
            alignment: 'center',
          }),
          fillColor: row.deviates ? differenceTint : foldTint,
        };
      });
    }),
  ];
  return {
    margin: [0, 3, 0, 9],
    needs: 64,
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
  { head: [{ text: 'No.' }], align: 'right', share: 26 },
  { head: [{ text: 'Date' }], align: 'left', share: 74 },
  { head: [{ text: 'Preparation' }], align: 'left', share: 176 },
  { head: [{ text: 'State' }], align: 'left', share: 98 },
  { head: [{ text: 'Initials' }], align: 'left', share: 48 },
  { head: [{ text: 'Mark' }], align: 'right', share: 34 },
  { head: [{ text: 'Page' }], align: 'right', share: 32 },
];

/** The index page: every line leads to its entry. */
export function index(rows: readonly IndexRow[], context: BlockContext): Node {
  const tag = context.section.child('Table');
  const columns = widths(indexColumns, bodyWidth);
  const head = tag.child('TR', { isRepeated: true });
  const entryText: Setting = { face: 'serif', size: 10 };
  return {
    margin: [0, 8, 0, 8],
    table: {
      widths: columns.map((column) => column.width),
      headerRows: 1,
      dontBreakRows: true,
      body: [
        columns.map((column) =>
          text(column.head, headText, head.child('TH', { isRepeated: true }), context, {
            alignment: column.align === 'left' ? 'left' : 'right',
          }),
        ),
        ...rows.map((row) => {
          const line = tag.child('TR');
          const link = row.part === null ? {} : { goTo: row.part };
          const one = (content: Line, setting: Setting, alignment: 'left' | 'right' = 'left'): Node =>
            text(content, setting, line.child('TD'), context, { alignment, ...link });
          return [
            one([{ text: row.number }], entryText, 'right'),
            one([{ text: row.date }], { ...small, size: 9 }),
            one(row.title, entryText),
            one(row.state, { ...small, size: 8.6 }),
            one(row.initials, { ...tiny, size: 8.6, bold: true }),
            one([{ text: row.mark }], { ...small, size: 9 }, 'right'),
            one([{ text: row.part === null ? '–' : context.pageOf(row.part) }], entryText, 'right'),
          ];
        }),
      ],
    },
    layout: {
      ...ruled((line) => (line === 0 || line === rows.length + 1 ? 0.8 : line === 1 ? 0.5 : 0.4), 1),
      paddingTop: () => 4,
      paddingBottom: () => 4.5,
    },
  };
}
