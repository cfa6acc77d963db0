import type { Line, ReportPart } from '../../core/report/report-document.ts';
import type { PageDrawing } from './page-drawing.ts';
import { bodyWidth, fineRule, marginRule, page, quiet } from './palette.ts';
import type { PdfDocument } from './pdf-document.ts';
import { asArtifact } from './tags.ts';
import type { Piece, Setting, Typesetter } from './typeset.ts';

const furniture: Setting = { face: 'sans', size: 7.8, color: quiet };
const headBase = 40;
const footBase = page.height - 34;

/** The margin line, drawn first so that everything else lies on it. */
export function marginLine(document: PdfDocument): void {
  asArtifact(document, () => {
    document.undash().lineWidth(0.8).strokeColor(marginRule);
    document
      .moveTo(page.rule, 30)
      .lineTo(page.rule, page.height - 26)
      .stroke();
  });
}

/** Header and footer: record and entry above; fingerprint and page n of m below. */
export function headAndFoot(
  part: ReportPart,
  number: number,
  total: number,
  drawing: PageDrawing,
  document: PdfDocument,
  type: Typesetter,
): void {
  asArtifact(
    document,
    () => {
      rule(document, headBase + 6);
      rule(document, footBase - 11);
      pair(part.headerLeft, part.headerRight, headBase, drawing, type);
      pair(part.footerLeft, [{ text: `page ${number} of ${total}` }], footBase, drawing, type);
    },
    'Pagination',
  );
}

function rule(document: PdfDocument, y: number): void {
  document.undash().lineWidth(0.5).strokeColor(fineRule);
  document
    .moveTo(page.left, y)
    .lineTo(page.left + bodyWidth, y)
    .stroke();
}

function pair(left: Line, right: Line, baseline: number, drawing: PageDrawing, type: Typesetter): void {
  const gap = 16;
  const rightPieces = fitted(type.pieces(right, furniture), bodyWidth * 0.6, type);
  const rightWidth = type.width(rightPieces);
  const leftPieces = fitted(type.pieces(left, furniture), bodyWidth - rightWidth - gap, type);
  drawing.drawPieces(leftPieces, page.left, baseline);
  drawing.drawPieces(rightPieces, page.left + bodyWidth - rightWidth, baseline);
}

/** Shortened with an ellipsis where it is longer than its place. */
function fitted(pieces: readonly Piece[], width: number, type: Typesetter): Piece[] {
  const flat = pieces.map((piece) => ({ ...piece, text: piece.text.replace(/\n/g, ' ') }));
  if (type.width(flat) <= width) return flat;
  const out: Piece[] = [];
  let used = 0;
  for (const piece of flat) {
    const signs = [...piece.text];
    const room = width - used - type.width([{ ...piece, text: '…' }]);
    if (type.width([piece]) <= room) {
      out.push(piece);
      used += type.width([piece]);
      continue;
    }
    let low = 0;
    let high = signs.length;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (type.width([{ ...piece, text: signs.slice(0, middle).join('') }]) <= room) low = middle;
      else high = middle - 1;
    }
    out.push({ ...piece, text: `${signs.slice(0, low).join('').trimEnd()}…` });
    return out;
  }
  return out;
}
