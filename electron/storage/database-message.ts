/** What crosses between the program and the thread that holds the database. Plain data only. */
export type Parameter = string | number | bigint | Uint8Array | null;

export type DatabaseRequest =
  | {
      readonly kind: 'open';
      readonly path: string;
      readonly mode: 'write' | 'read';
      readonly journal: 'wal' | 'delete';
    }
  | { readonly kind: 'query'; readonly sql: string; readonly parameters: readonly Parameter[] }
  /** A whole, consistent copy, whatever still stands in the write-ahead log. */
  | { readonly kind: 'copy'; readonly to: string }
  | { readonly kind: 'close' };

export type Row = Readonly<Record<string, unknown>>;

export interface QueryAnswer {
  readonly rows: readonly Row[];
  readonly changes: number;
  readonly insertId: number;
}

export type DatabaseReply =
  | { readonly ok: true; readonly answer: QueryAnswer }
  /** `code` as SQLite names it: SQLITE_FULL, SQLITE_CONSTRAINT_UNIQUE… */
  | {
      readonly ok: false;
      readonly error: {
        readonly message: string;
        readonly code: string;
        readonly facts: Readonly<Record<string, string | number>>;
      };
    };

/** A failure on the other side of the thread, with SQLite's code or one of ours. */
export class DatabaseError extends Error {
  readonly code: string;
  readonly facts: Readonly<Record<string, string | number>>;

  constructor(message: string, code: string, facts: Readonly<Record<string, string | number>> = {}) {
    super(message);
    this.name = 'DatabaseError';
    this.code = code;
    this.facts = facts;
  }
}
