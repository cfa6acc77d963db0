import type { Line } from '../../core/report/report-document.ts';
import type { Piece, Setting, Typesetter } from './typeset.ts';

export const escapeXml = (text: string): string =>
  text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** Coordinates to a hundredth of a point: finer is invisible and makes the file longer. */
export const num = (value: number): string => String(Math.round(value * 100) / 100);

type Anchor = 'start' | 'middle' | 'end';

/** A line of text as SVG, each piece in its own face at its measured place. */
export function svgPieces(
  pieces: readonly Piece[],
  x: number,
  baseline: number,
  anchor: Anchor,
  type: Typesetter,
): string {
  const width = type.width(pieces);
  let at = x - (anchor === 'middle' ? width / 2 : anchor === 'end' ? width : 0);
  let out = '';
  for (const piece of pieces) {
    out +=
      `<text x="${num(at)}" y="${num(baseline - piece.shift)}" font-family="${piece.font}" font-size="${num(piece.fontSize)}"` +
      `${piece.bold ? ' font-weight="bold"' : ''}${piece.italics ? ' font-style="italic"' : ''}` +
      ` fill="${piece.color}" xml:space="preserve">${escapeXml(piece.text)}</text>`;
    at += type.width([piece]);
  }
  return out;
}

export function svgLine(
  line: Line,
  setting: Setting,
  x: number,
  baseline: number,
  anchor: Anchor,
  type: Typesetter,
): string {
  return svgPieces(type.pieces(line, drawn(setting)), x, baseline, anchor, type);
}

/** SVG text has no OpenType features here, so scripts are made smaller and moved. */
export const drawn = (setting: Setting): Setting => ({ ...setting, scripts: 'scaled' });

/** Breaks a line at spaces so that no part is wider than `width`, where its words allow. */
export function wrapped(line: Line, setting: Setting, width: number, type: Typesetter): Piece[][] {
  const words: Piece[][] = [[]];
  for (const piece of type.pieces(line, drawn(setting))) {
    const parts = piece.text.split(/(?<=[ \n])/);
    for (const part of parts) {
      words.at(-1)?.push({ ...piece, text: part });
      if (/[ \n]$/.test(part)) words.push([]);
    }
  }
  const lines: Piece[][] = [[]];
  let used = 0;
  for (const word of words) {
    if (word.length === 0) continue;
    const room = type.width(word.map((piece) => ({ ...piece, text: piece.text.trimEnd() })));
    if (used > 0 && used + room > width) {
      lines.push([]);
      used = 0;
    }
    lines.at(-1)?.push(...word.map((piece) => ({ ...piece, text: piece.text.replace('\n', ' ') })));
    used += type.width(word);
  }
  return lines.map(trimmed).filter((one) => one.length > 0);
}

function trimmed(pieces: Piece[]): Piece[] {
  const last = pieces.at(-1);
  return last === undefined ? pieces : [...pieces.slice(0, -1), { ...last, text: last.text.trimEnd() }];
}
