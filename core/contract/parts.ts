import * as v from 'valibot';
import { units, type UnitSymbol } from '../quantity/unit.ts';

/** How much of everything one request may carry. Generous for people, finite for programs. */
export const limits = {
  /** A name, a heading, a remark. UTF-16 code units. */
  shortText: 2_000,
  /** A note, a discussion: a megabyte of plain text. UTF-16 code units. */
  longText: 1_000_000,
  /** One number as typed, with whatever was typed wrongly. */
  enteredText: 500,
  passphrase: 1_000,
  rows: 200,
  steps: 500,
  readings: 2_000,
  notes: 2_000,
  items: 500,
  /** Canonical JSON of an entry's content. Bytes. */
  contentBytes: 6_000_000,
  /** One request as sent. Bytes. */
  requestBytes: 8_000_000,
  /** A hand-in, or another file to be checked. Bytes. */
  handInBytes: 40_000_000,
  /** A piece of a file that is brought in piece by piece. Bytes. */
  pieceBytes: 4_000_000,
  /** A request that carries a file, as base64. Bytes. */
  fileRequestBytes: 60_000_000,
  /** Objects within objects. */
  depth: 24,
} as const;

/** Requests that carry a file. */
const withFile: ReadonlySet<string> = new Set([
  'attachment.add',
  'hand-in.read',
  'hand-in.take',
  'file.check',
]);

/** How much a request of that name may carry as sent. Bytes. */
export const requestBytesOf = (name: string): number =>
  withFile.has(name) ? limits.fileRequestBytes : limits.requestBytes;

export const shortText = v.pipe(v.string(), v.maxLength(limits.shortText));
export const longText = v.pipe(v.string(), v.maxLength(limits.longText));
/** A text that says something. */
export const filledText = v.pipe(
  shortText,
  v.check((text) => text.trim() !== '', 'is blank'),
);
export const passphrase = v.pipe(v.string(), v.minLength(1), v.maxLength(limits.passphrase));

/** Ids of rows, steps, notes: they are named inside step texts, so braces and blanks are out. */
export const id = v.pipe(v.string(), v.regex(/^[\w.:-]{1,100}$/));
export const sha256 = v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/));
export const count = v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(Number.MAX_SAFE_INTEGER));

/** UTC with milliseconds and `Z`, and a moment that exists: 30 February does not. */
export const instant = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/),
  v.check((text) => {
    const ms = Date.parse(text);
    return Number.isFinite(ms) && new Date(ms).toISOString() === text;
  }, 'is no moment of the calendar'),
);
/** Local calendar date. */
export const calendarDate = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d\d-\d\d$/),
  v.check((text) => {
    const ms = Date.parse(`${text}T00:00:00.000Z`);
    return Number.isFinite(ms) && new Date(ms).toISOString().startsWith(text);
  }, 'is no day of the calendar'),
);
/** Minutes east of UTC: −12 h to +14 h. */
export const offsetMinutes = v.pipe(v.number(), v.integer(), v.minValue(-720), v.maxValue(840));

export const unit = v.picklist(Object.keys(units) as UnitSymbol[]);
export const entered = v.strictObject({
  text: v.pipe(v.string(), v.maxLength(limits.enteredText)),
  unit,
});
export const enteredOrNull = v.nullable(entered);

/** The bytes of a file, RFC 4648 section 4. @param mostBytes of the file itself */
export const base64 = (mostBytes: number) =>
  v.pipe(
    v.string(),
    v.maxLength(Math.ceil(mostBytes / 3) * 4),
    v.check((text) => text.length % 4 === 0 && /^[A-Za-z0-9+/]*={0,2}$/.test(text), 'is no base64'),
  );

/** A list of bounded length. */
export const listOf = <S extends v.GenericSchema>(item: S, most: number) =>
  v.pipe(v.array(item), v.maxLength<v.InferOutput<S>[], number>(most));

/** The same, refusing two items that share an id: each is found again by it. */
export const listById = <S extends v.GenericSchema>(
  item: S,
  most: number,
  key: (item: v.InferOutput<S>) => string,
) =>
  v.pipe(
    listOf(item, most),
    v.check(
      (items: v.InferOutput<S>[]) => new Set(items.map(key)).size === items.length,
      'holds two things with the same id',
    ),
  );

export const role = v.picklist(['student', 'instructor', 'department']);
export const state = v.picklist(['draft', 'signed', 'returned', 'countersigned', 'amending', 'struck-out']);
export const meaning = v.picklist(['performed', 'returned', 'countersigned', 'amended', 'deposited']);
