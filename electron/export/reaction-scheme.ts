import type { Drawn, ReactionBlock } from '../../core/report/report-document.ts';
import { bodyWidth, inks } from './palette.ts';
import { bondLength } from './structure-drawing.ts';
import type { StructureDrawer } from './structure-drawing.ts';
import { num, svgLine, svgPieces, wrapped } from './svg-text.ts';
import type { Setting, Typesetter } from './typeset.ts';

/** Something that stands in the row of a scheme: drawn about a common middle line. */
interface Item {
  readonly width: number;
  /** Extent above and below the middle line, without the caption. */
  readonly above: number;
  readonly below: number;
  readonly captionHeight: number;
  /** @param captionTop first base line of the captions, the same for a whole row */
  readonly draw: (x: number, middle: number, captionTop: number) => string;
}

const formulaText: Setting = { face: 'serif', size: 12 };
const coefficientText: Setting = { face: 'serif', size: 13 };
const captionText: Setting = { face: 'sans', size: 7.8 };
const conditionText: Setting = { face: 'sans', size: 7.8 };
const captionLeading = 10;
const gap = 9;
const rowGap = 14;
/** Lengths of a bond on paper, pt: the largest that lets the scheme stand on one row. */
const bonds = [15, 13.5, 12];

/** The reaction as a drawing at most as wide as the text: structures, plus signs, arrow with its conditions. */
export function reactionScheme(
  block: ReactionBlock,
  type: Typesetter,
  drawer: StructureDrawer | null,
): { readonly svg: string; readonly width: number; readonly height: number } | null {
  const species = [...block.left, ...block.right];
  if (species.length === 0) return null;
  let rows: Item[][] = [];
  for (const bond of bonds) {
    const items = itemsOf(block, bond / bondLength, type, drawer);
    rows = wrapRows([items.all]);
    if (rows.length === 1) break;
    rows = wrapRows([items.before, items.from]);
  }
  let svg = '';
  let y = 0;
  for (const row of rows) {
    const above = Math.max(...row.map((item) => item.above));
    const below = Math.max(...row.map((item) => item.below));
    const captions = Math.max(...row.map((item) => item.captionHeight));
    let x = (bodyWidth - rowWidth(row)) / 2;
    for (const item of row) {
      svg += item.draw(x, y + above, y + above + below + captionLeading);
      x += item.width + gap;
    }
    y += above + below + captions + rowGap;
  }
  const height = y - rowGap;
  return {
    svg: `<svg xmlns="http://www.w3.org/2000/svg" width="${num(bodyWidth)}" height="${num(height)}" viewBox="0 0 ${num(bodyWidth)} ${num(height)}">${svg}</svg>`,
    width: bodyWidth,
    height,
  };
}

const rowWidth = (row: readonly Item[]): number =>
  row.reduce((sum, item) => sum + item.width, gap * (row.length - 1));

/** Begins a new row where the next item would run over the edge. */
function wrapRows(rows: readonly (readonly Item[])[]): Item[][] {
  const out: Item[][] = [];
  for (const row of rows) {
    let current: Item[] = [];
    for (const item of row) {
      if (current.length > 0 && rowWidth([...current, item]) > bodyWidth) {
        out.push(current);
        current = [];
      }
      current.push(item);
    }
    if (current.length > 0) out.push(current);
  }
  return out;
}

function itemsOf(
  block: ReactionBlock,
  scale: number,
  type: Typesetter,
  drawer: StructureDrawer | null,
): { all: Item[]; before: Item[]; from: Item[] } {
  const side = (drawn: readonly Drawn[]): Item[] =>
    drawn.flatMap((one, index) => [...(index > 0 ? [plus(type)] : []), substance(one, scale, type, drawer)]);
  const before = side(block.left);
  const from = [arrow(block, type), ...side(block.right)];
  return { all: [...before, ...from], before, from };
}

function plus(type: Typesetter): Item {
  return {
    width: 8,
    above: 6,
    below: 6,
    captionHeight: 0,
    draw: (x, middle) => svgLine([{ text: '+' }], coefficientText, x + 4, middle + 4, 'middle', type),
  };
}

function arrow(block: ReactionBlock, type: Typesetter): Item {
  const lines = wrapped(block.over, conditionText, 96, type);
  const width = Math.max(46, ...lines.map((line) => type.width(line) + 12));
  return {
    width,
    above: 5 + lines.length * 9.5,
    below: 6,
    captionHeight: 0,
    draw: (x, middle) => {
      const tip = x + width;
      let out =
        `<line x1="${num(x)}" y1="${num(middle)}" x2="${num(tip - 5)}" y2="${num(middle)}" stroke="${inks.print}" stroke-width="0.9"/>` +
        `<polygon points="${num(tip)} ${num(middle)} ${num(tip - 7)} ${num(middle - 2.8)} ${num(tip - 5.4)} ${num(middle)} ${num(tip - 7)} ${num(middle + 2.8)}" fill="${inks.print}"/>`;
      lines.forEach((line, index) => {
        const baseline = middle - 5 - (lines.length - 1 - index) * 9.5;
        out += svgPieces(line, x + width / 2 - 2, baseline, 'middle', type);
      });
      return out;
    },
  };
}

function substance(drawn: Drawn, scale: number, type: Typesetter, drawer: StructureDrawer | null): Item {
  const structure = drawn.smiles === null ? null : (drawer?.draw(drawn.smiles) ?? null);
  const coefficient = type.pieces([{ text: drawn.coefficient }], coefficientText);
  const lead = drawn.coefficient === '' ? 0 : type.width(coefficient) + 4;
  const formula = wrapped(drawn.formula, formulaText, 200, type);
  const pictureWidth =
    structure === null ? Math.max(10, ...formula.map((line) => type.width(line))) : structure.width * scale;
  const half = structure === null ? 7 * Math.max(1, formula.length) : (structure.height * scale) / 2;
  const captions = drawn.caption.flatMap((line) =>
    wrapped(line, captionText, Math.max(pictureWidth, 78), type),
  );
  const captionWidth = Math.max(0, ...captions.map((line) => type.width(line)));
  const width = Math.max(lead + pictureWidth, captionWidth);
  return {
    width,
    above: half + 2,
    below: half + 2,
    captionHeight: captions.length * captionLeading + 3,
    draw: (x, middle, captionTop) => {
      const left = x + (width - lead - pictureWidth) / 2 + lead;
      const centre = left + pictureWidth / 2;
      let out = drawn.coefficient === '' ? '' : svgPieces(coefficient, left - 4, middle + 4.3, 'end', type);
      if (structure === null) {
        formula.forEach((line, index) => {
          out += svgPieces(
            line,
            centre,
            middle + 4 + (index - (formula.length - 1) / 2) * 14,
            'middle',
            type,
          );
        });
      } else {
        const x0 = left - structure.left * scale;
        const y0 = middle - (structure.top + structure.height / 2) * scale;
        out += `<g transform="translate(${num(x0)} ${num(y0)}) scale(${scale})">${structure.svg}</g>`;
      }
      captions.forEach((line, index) => {
        // Under the middle of the substance with its coefficient, kept inside the item.
        const at = Math.min(Math.max(centre, x + captionWidth / 2), x + width - captionWidth / 2);
        out += svgPieces(line, at, captionTop + index * captionLeading, 'middle', type);
      });
      return out;
    },
  };
}
