import type { Line } from '../../../core/report/report-document.ts';
import type { Node } from '../pdfmake-internals.ts';
import type { StructureDrawer } from '../structure-drawing.ts';
import type { Tag } from '../tags.ts';
import type { PieceExtra, Setting, Typesetter } from '../typeset.ts';

/** What building a block needs to know of the document around it. */
export interface BlockContext {
  readonly type: Typesetter;
  /** Null in a document without structures. */
  readonly drawer: StructureDrawer | null;
  /** The part's place in the logical structure. */
  readonly section: Tag;
  /** Printed page number of a part, once known; '' in the trial that finds how long the index is. */
  readonly pageOf: (part: string) => string;
  /** Size of an image in pixels, or null when it cannot be printed. */
  readonly imageSize: (sha256: string) => { readonly width: number; readonly height: number } | null;
}

export const body: Setting = { face: 'serif', size: 10 };
export const small: Setting = { face: 'sans', size: 8.5 };
export const tiny: Setting = { face: 'sans', size: 7.6 };

export type Margin = readonly [left: number, top: number, right: number, bottom: number];

interface TextExtra {
  readonly margin?: Margin;
  readonly alignment?: 'left' | 'right' | 'center';
  readonly lineHeight?: number;
  /** A paragraph that may run over a page end, without leaving single lines. */
  readonly flow?: boolean;
  readonly needs?: number;
  readonly bookmark?: string;
  readonly goTo?: string;
  readonly relativePosition?: { readonly x: number; readonly y: number };
}

/** A text node whose runs belong to `tag`; without a tag it is page furniture. */
export function text(
  line: Line,
  setting: Setting,
  tag: Tag | null,
  context: BlockContext,
  extra: TextExtra = {},
): Node {
  const { bookmark, goTo, alignment, lineHeight, ...rest } = extra;
  const pieceExtra: PieceExtra = {
    ...(tag === null ? {} : { tag }),
    ...(bookmark === undefined ? {} : { bookmark }),
    ...(goTo === undefined ? {} : { goTo }),
    ...(alignment === undefined ? {} : { alignment }),
    ...(lineHeight === undefined ? {} : { lineHeight }),
  };
  return { ...rest, text: context.type.pieces(line, setting, pieceExtra) };
}

export const plain = (line: Line): string => line.map((run) => run.text).join('');
