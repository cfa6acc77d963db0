import type { Cell, Column, Line } from '../../../core/report/report-document.ts';
import { fineRule, strongRule } from '../palette.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { Tag } from '../tags.ts';
import type { Setting } from '../typeset.ts';
import { plain, text } from './context.ts';
import type { BlockContext } from './context.ts';

export const padding = 4;
export const normalText: Setting = { face: 'sans', size: 8.6 };
export const compactText: Setting = { face: 'sans', size: 7.8 };
/** Lines of a field beyond which it is carried on in a further row, so that a row always fits a page. */
const mostLines = 16;

export interface GridColumn extends Column {
  /** Points between the paddings. */
  readonly width: number;
  readonly setting: Setting;
}

/** Points for each column; padding is part of the share, and the outer edges have none. */
export function widths(
  columns: readonly Column[],
  total: number,
  setting: Setting,
  edges: 'both' | 'left' | 'right' = 'both',
): GridColumn[] {
  const sum = columns.reduce((all, column) => all + column.share, 0);
  return columns.map((column, index) => {
    const isFlushLeft = index === 0 && edges !== 'right';
    const isFlushRight = index === columns.length - 1 && edges !== 'left';
    const sides = 2 - (isFlushLeft ? 1 : 0) - (isFlushRight ? 1 : 0);
    return { ...column, width: (column.share / sum) * total - sides * padding, setting };
  });
}

/** Rules above, below and under the head; paddings. @param width of the line above row `line` */
export function ruled(width: (line: number) => number, head: number, isCompact = false): Node {
  return {
    hLineWidth: width,
    vLineWidth: () => 0,
    hLineColor: (line: number, node: { table: { body: unknown[] } }) =>
      line === 0 || line <= head || line === node.table.body.length ? strongRule : fineRule,
    paddingLeft: (column: number) => (column === 0 ? 0 : padding),
    paddingRight: (column: number, node: { table: { widths: unknown[] } }) =>
      column === node.table.widths.length - 1 ? 0 : padding,
    paddingTop: () => (isCompact ? 1.1 : 2.6),
    paddingBottom: () => (isCompact ? 1.4 : 3),
  };
}

/** One field: its lines under each other; a decimal column is right-aligned less each number's tail. */
export function field(cell: Cell, column: GridColumn, tail: number, tag: Tag, context: BlockContext): Node {
  const lines: Cell = cell.length === 0 ? [[]] : cell;
  return {
    stack: lines.map((line) => {
      if (column.align === 'left') return text(line, column.setting, tag, context);
      const own = column.align === 'decimal' ? tailOf(line, column.setting, context) : null;
      return text(line, column.setting, tag, context, {
        alignment: 'right',
        margin: [0, 0, own === null ? 0 : Math.max(0, tail - own), 0],
      });
    }),
  };
}

/** Width of what follows the whole number: decimals and unit. Null for what is no number. */
function tailOf(line: Line, setting: Setting, context: BlockContext): number | null {
  const match = /^\s*[≈<>~±+]?\s*[−-]?\d+/u.exec(plain(line));
  if (match === null) return null;
  const width = (part: Line): number => context.type.width(context.type.pieces(part, setting));
  return width(line) - width(firstPart(line, match[0].length));
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
export function decimalTails(
  rows: readonly CarriedRow[],
  columns: readonly GridColumn[],
  context: BlockContext,
): number[] {
  return columns.map((column, index) => {
    if (column.align !== 'decimal') return 0;
    let longestHead = 0;
    let longestTail = 0;
    for (const row of rows) {
      for (const line of row.cells[index] ?? []) {
        const tail = tailOf(line, column.setting, context);
        if (tail === null) continue;
        const all = context.type.width(context.type.pieces(line, column.setting));
        longestHead = Math.max(longestHead, all - tail);
        longestTail = Math.max(longestTail, tail);
      }
    }
    return longestHead + longestTail > column.width ? 0 : longestTail;
  });
}

export interface CarriedRow {
  readonly cells: readonly Cell[];
  readonly isContinuation: boolean;
}

/**
 * Rows that fit a page: a field of very many lines goes on in rows of its own. pdfmake keeps a row
 * together, and drops what of it does not fit on one page.
 */
export function carriedOn(
  rows: readonly (readonly Cell[])[],
  columns: readonly GridColumn[],
  context: BlockContext,
): CarriedRow[] {
  return rows.flatMap((row) => {
    const parts = columns.map((column, index) => portions(row[index] ?? [], column, context));
    const count = Math.max(...parts.map((part) => part.length));
    return Array.from({ length: count }, (_, index) => ({
      cells: parts.map((part) => part[index] ?? []),
      isContinuation: index > 0,
    }));
  });
}

function portions(cell: Cell, column: GridColumn, context: BlockContext): Cell[] {
  const out: Cell[] = [];
  let current: Line[] = [];
  let used = 0;
  for (const line of cell.flatMap((one) => shortLines(one, column.width))) {
    const height = linesIn(line, column, context);
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

/** Height of a row, pt, rather more than less: what must be left on a page for a table to begin there. */
export function rowHeight(
  cells: readonly Cell[] | undefined,
  columns: readonly GridColumn[],
  context: BlockContext,
): number {
  const heights = columns.map((column, index) => {
    const lines = (cells?.[index] ?? []).reduce((sum, line) => sum + linesIn(line, column, context), 0);
    return Math.max(1, lines) * column.setting.size * lineHeight;
  });
  return Math.max(...heights) + 6;
}
/** Of Source Sans 3, per point of size. */
const lineHeight = 1.43;

/** Lines a text takes in a column, rather more than less. */
function linesIn(line: Line, { width, setting }: GridColumn, context: BlockContext): number {
  const words = plain(line);
  const breaks = words.split('\n').length;
  // No character of the label face is wider than its size; only longer texts need measuring.
  if (words.length * setting.size < width) return breaks;
  return breaks + Math.floor(context.type.width(context.type.pieces(line, setting)) / (width * 0.92));
}

/** A text longer than a row may be is cut at a space into texts that are not. */
function shortLines(line: Line, width: number): Line[] {
  const words = plain(line);
  if (words.length < 200 && !words.includes('\n')) return [line];
  const most = Math.floor((width / 4.4) * (mostLines - 2));
  const out: Line[] = [[]];
  let used = 0;
  const next = (): void => {
    out.push([]);
    used = 0;
  };
  for (const run of line) {
    for (const part of run.text.split(/(?<=\n)/)) {
      let rest = part;
      while (rest !== '') {
        const take = used + rest.length <= most ? rest.length : placeToCut(rest, most - used, used > 0);
        const piece = rest.slice(0, take);
        if (piece !== '')
          out[out.length - 1] = [...(out.at(-1) ?? []), { ...run, text: piece.replace(/\n$/, '') }];
        rest = rest.slice(take);
        used += piece.length;
        if (piece.endsWith('\n') || rest !== '') next();
      }
    }
  }
  return out.at(-1)?.length === 0 && out.length > 1 ? out.slice(0, -1) : out;
}

/** After the last space that fits; else nothing (a new row takes it), else between two characters. */
function placeToCut(words: string, room: number, hasMore: boolean): number {
  const space = words.lastIndexOf(' ', Math.max(0, room));
  if (space > 0) return space + 1;
  if (hasMore) return 0;
  const isInPair = (words.charCodeAt(room) & 0xfc00) === 0xdc00;
  return Math.max(1, isInPair ? room - 1 : room);
}
