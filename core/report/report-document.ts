/**
 * An entry or a whole record as plain data, ready to be laid out. `electron/export` turns it into
 * PDF; nothing in it knows about fonts, pages or pdfmake.
 */

/** Who wrote it. Colour never says it alone: initials, a tick or a dated stamp stand beside it. */
export type Ink = 'print' | 'student' | 'instructor' | 'department';

/** A stretch of text in one manner. */
export interface Run {
  readonly text: string;
  readonly script?: 'sub' | 'super';
  readonly weight?: 'bold';
  readonly style?: 'italic';
  readonly ink?: Ink;
  /** Secondary matter: sources, units of a head, a remark. */
  readonly tone?: 'quiet';
}
/** Running text; a `\n` inside a run begins a new line. */
export type Line = readonly Run[];
/** What stands in one field of a table, line under line. */
export type Cell = readonly Line[];

/** Initials in the margin beside what a person wrote. */
export interface InkMark {
  readonly ink: Ink;
  readonly initials: string;
}

/** A rubber stamp: what, when, by whom. */
export interface Stamp {
  readonly text: string;
  readonly date: string;
  readonly by: string;
  readonly ink: Ink;
}

export interface Fact {
  readonly label: string;
  readonly value: Line;
}

/** One figure of the line under the title. */
export interface Figure {
  readonly label: string;
  readonly value: Line;
  readonly note: Line;
}

export interface Column {
  readonly head: Line;
  /** `decimal` sets the decimal points of the column under each other, units and all. */
  readonly align: 'left' | 'right' | 'decimal';
  /** Share of the width; only the ratio to the other columns matters. */
  readonly share: number;
}

export interface TableBlock {
  readonly kind: 'table';
  /** `compact` for long lists that are looked up rather than read. */
  readonly density: 'normal' | 'compact';
  readonly caption: Line | null;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
}

export interface SpreadRow {
  readonly left: readonly Cell[];
  /** The difference, in the fold: `+3.1 %`, `4 min longer`. */
  readonly fold: Line;
  readonly right: readonly Cell[];
  readonly deviates: boolean;
}

/** Two facing pages: planned on the left, carried out on the right, the difference in the fold. */
export interface SpreadBlock {
  readonly kind: 'spread';
  readonly left: { readonly head: string; readonly columns: readonly Column[] };
  readonly foldHead: string;
  readonly right: { readonly head: string; readonly columns: readonly Column[] };
  readonly rows: readonly SpreadRow[];
}

/** One substance of a reaction scheme; without a structure its formula is set large instead. */
export interface Drawn {
  /** Stoichiometric coefficient as printed; '' for one. */
  readonly coefficient: string;
  readonly smiles: string | null;
  readonly formula: Line;
  /** Name, molar mass…: one line each under the structure. */
  readonly caption: Cell;
}

export interface ReactionBlock {
  readonly kind: 'reaction';
  /** The balanced equation in formulas. */
  readonly equation: Line;
  readonly left: readonly Drawn[];
  readonly right: readonly Drawn[];
  /** Conditions over the arrow. */
  readonly over: Line;
  /** Read out instead of the drawing. */
  readonly spoken: string;
}

export interface ChartPoint {
  readonly x: number;
  readonly y: number;
  readonly label: string;
  /** Outside its limits: drawn with another sign, not only another colour. */
  readonly isOutside: boolean;
}

/** A stretch of the x axis (a step) and, where it has limits, the window of y it had to keep to. */
export interface ChartBand {
  readonly fromX: number;
  readonly toX: number;
  readonly fromY: number | null;
  readonly toY: number | null;
  readonly label: string;
}

export interface ChartBlock {
  readonly kind: 'chart';
  readonly title: Line;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly points: readonly ChartPoint[];
  readonly bands: readonly ChartBand[];
  /** Read out instead of the drawing. */
  readonly spoken: string;
}

/** A computed number, so that it can be redone by hand. */
export interface WorkingBlock {
  readonly kind: 'working';
  readonly title: Line;
  /** The formula; then the formula with its values and what they give. */
  readonly lines: readonly Line[];
  /** What the symbols mean and where their values come from; uncertainty; rounding. Running text. */
  readonly notes: readonly Line[];
}

export interface SignatureBlock {
  readonly kind: 'signature';
  /** The statement that was signed. */
  readonly meaning: string;
  readonly printedName: string;
  readonly initials: string;
  readonly role: string;
  /** Date and time with the offset from UTC. */
  readonly when: string;
  readonly remark: Line;
  /** What the signature covers: "version 2, fingerprint 3f2a …". */
  readonly covers: string;
  readonly ink: Ink;
}

export interface IndexRow {
  /** Id of the part the line leads to; its page number is filled in by the printer. */
  readonly part: string | null;
  readonly number: string;
  readonly date: string;
  readonly title: Line;
  readonly state: Line;
  readonly mark: string;
  readonly initials: Line;
}

export type Block =
  | {
      readonly kind: 'title';
      readonly eyebrow: Line;
      readonly title: Line;
      readonly facts: readonly Fact[];
      readonly stamp: Stamp | null;
      /** Printed as text and as QR code; null where nothing is signed yet. */
      readonly fingerprint: { readonly short: string; readonly full: string } | null;
      readonly figures: readonly Figure[];
    }
  | {
      readonly kind: 'heading';
      readonly level: 1 | 2 | 3;
      /** Stands in the margin; '' for none. */
      readonly number: string;
      readonly line: Line;
    }
  | {
      readonly kind: 'paragraph';
      readonly line: Line;
      readonly ink: Ink;
      readonly mark: InkMark | null;
    }
  | {
      readonly kind: 'list';
      readonly items: readonly Line[];
      readonly columns: 1 | 2;
      readonly ink: Ink;
      readonly mark: InkMark | null;
    }
  | { readonly kind: 'facts'; readonly facts: readonly Fact[] }
  /** Something the reader must not overlook: a caution, a doubt, what is missing. */
  | { readonly kind: 'notice'; readonly title: string; readonly line: Line }
  /** Sources and remarks that go with what stands above. */
  | { readonly kind: 'small-print'; readonly line: Line }
  | TableBlock
  | SpreadBlock
  | ReactionBlock
  | ChartBlock
  | WorkingBlock
  | SignatureBlock
  | {
      readonly kind: 'comment';
      readonly who: string;
      readonly initials: string;
      readonly when: string;
      readonly about: string;
      readonly line: Line;
      readonly isSettled: boolean;
    }
  | {
      readonly kind: 'image';
      readonly sha256: string;
      readonly name: string;
      readonly mediaType: string;
      readonly sizeBytes: number;
      readonly caption: Line;
      /** Its name inside the PDF; null where it is not inside; absent where that was not looked at. */
      readonly carriedAs?: string | null;
    }
  /** First page of a bound record: who, where, what it certifies, stamp, lines to sign by hand. */
  | {
      readonly kind: 'certificate';
      readonly institution: string;
      readonly department: string;
      readonly title: string;
      readonly statement: readonly Line[];
      readonly facts: readonly Fact[];
      readonly stamp: Stamp;
      readonly signLines: readonly string[];
      /** What the reader can check, in small print. */
      readonly notes: readonly Line[];
    }
  | { readonly kind: 'index'; readonly rows: readonly IndexRow[] };

/** Pages that belong together: an entry, the certificate page, the index page. */
export interface ReportPart {
  readonly id: string;
  /** For the reader's table of contents. */
  readonly bookmark: string;
  readonly headerLeft: Line;
  readonly headerRight: Line;
  readonly footerLeft: Line;
  readonly blocks: readonly Block[];
}

/** A file carried inside the PDF: the canonical JSON it shows. */
export interface EmbeddedFile {
  readonly name: string;
  readonly mediaType: string;
  readonly text: string;
  readonly description: string;
  readonly relationship: 'Data' | 'Source' | 'Supplement';
}

/** A file attached to an entry and carried inside the PDF as it is; its bytes are given when it is printed. */
export interface CarriedFile {
  readonly name: string;
  readonly mediaType: string;
  readonly sha256: string;
  readonly sizeBytes: number;
  readonly description: string;
}

export interface ReportDocument {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  readonly keywords: string;
  /** BCP 47. */
  readonly language: string;
  /** ISO 8601 UTC; the PDF's own date, so that the same input gives the same bytes. */
  readonly createdAt: string;
  readonly parts: readonly ReportPart[];
  readonly embedded: readonly EmbeddedFile[];
  readonly carried?: readonly CarriedFile[];
}
