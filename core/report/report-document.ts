/**
 * An entry or a record as plain data, ready to be laid out. `electron/export` turns it into PDF;
 * nothing in it knows about fonts, pages or pdfmake.
 */

/** A stretch of text. Ink says who wrote it; the mark beside it says so without colour. */
export interface Run {
  readonly text: string;
  readonly script?: 'sub' | 'super';
  readonly weight?: 'bold';
  readonly style?: 'italic';
  readonly ink?: Ink;
}
export type Ink = 'print' | 'student' | 'instructor' | 'department';
export type Line = readonly Run[];

export type Block =
  | { readonly kind: 'heading'; readonly level: 1 | 2 | 3; readonly line: Line }
  | { readonly kind: 'paragraph'; readonly line: Line; readonly ink: Ink }
  | { readonly kind: 'list'; readonly items: readonly Line[] }
  | {
      readonly kind: 'table';
      readonly columns: readonly {
        readonly head: Line;
        readonly align: 'left' | 'right';
        readonly width: 'auto' | '*';
      }[];
      readonly rows: readonly (readonly Line[])[];
      readonly caption: Line | null;
    }
  | {
      /** Planned on the left, the difference in the fold, taken or observed on the right. */
      readonly kind: 'spread';
      readonly leftHead: Line;
      readonly rightHead: Line;
      readonly rows: readonly {
        readonly left: readonly Line[];
        readonly fold: Line;
        readonly right: readonly Line[];
        readonly deviates: boolean;
      }[];
    }
  | {
      readonly kind: 'reaction';
      readonly equation: Line;
      readonly left: readonly Drawn[];
      readonly right: readonly Drawn[];
      readonly over: Line;
    }
  | {
      readonly kind: 'chart';
      readonly title: Line;
      readonly xLabel: string;
      readonly yLabel: string;
      readonly points: readonly { readonly x: number; readonly y: number; readonly label: string }[];
      readonly bands: readonly {
        readonly fromX: number;
        readonly toX: number;
        readonly fromY: number | null;
        readonly toY: number | null;
        readonly label: string;
      }[];
    }
  | {
      readonly kind: 'working';
      readonly title: Line;
      readonly lines: readonly Line[];
      readonly notes: readonly Line[];
    }
  | {
      readonly kind: 'signature';
      readonly meaning: string;
      readonly printedName: string;
      readonly role: string;
      readonly when: string;
      readonly remark: Line;
      readonly fingerprint: string;
      readonly ink: Ink;
    }
  | { readonly kind: 'comment'; readonly who: string; readonly when: string; readonly line: Line }
  | { readonly kind: 'image'; readonly sha256: string; readonly caption: Line }
  | { readonly kind: 'page-break' };

/** A structure to be drawn from SMILES, with its caption below. */
export interface Drawn {
  readonly smiles: string;
  readonly caption: Line;
}

export interface ReportDocument {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  readonly headerLeft: string;
  readonly headerRight: string;
  /** ISO 8601 UTC; the PDF's own date, so that the same input gives the same bytes. */
  readonly createdAt: string;
  readonly blocks: readonly Block[];
  /** Files carried inside the PDF: the canonical JSON it shows. */
  readonly embedded: readonly {
    readonly name: string;
    readonly mediaType: string;
    readonly text: string;
    readonly description: string;
  }[];
}
