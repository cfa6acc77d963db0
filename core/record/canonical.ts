import { fail, ok, type Problem, type Result } from '../result.ts';

/**
 * RFC 8785, JSON Canonicalization Scheme: one text for one value, so that a hash of the text is a
 * hash of what it says. Numbers and strings are written as ECMAScript writes them (§3.2.2), members
 * are sorted by UTF-16 code units (§3.2.3), and there is no white space.
 */

/** Deeper nesting than any object of ours, far below what a call stack holds. */
export const maxDepth = 64;

/** A value that has no canonical text; `path` is where. */
class NotCanonical extends Error {
  readonly code: string;
  readonly path: string;
  constructor(code: string, path: string) {
    super(`${code} at ${path === '' ? 'the top' : path}`);
    this.code = code;
    this.path = path;
  }
}

const below = (path: string, key: string | number): string =>
  path === '' ? String(key) : `${path}.${String(key)}`;

function writeString(text: string, path: string): string {
  if (!text.isWellFormed()) throw new NotCanonical('lone-surrogate', path);
  return JSON.stringify(text);
}

function write(value: unknown, path: string, depth: number): string {
  if (depth > maxDepth) throw new NotCanonical('nested-too-deep', path);
  if (value === null) return 'null';
  if (typeof value === 'string') return writeString(value, path);
  if (typeof value === 'boolean') return value ? 'true' : 'false';
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new NotCanonical('number-not-finite', path);
    // String(-0) is "0", as §3.2.2.3 wants.
    return String(value);
  }
  // undefined, function, symbol, bigint: dropping one silently would sign less than was shown.
  if (typeof value !== 'object') throw new NotCanonical('not-plain-data', path);
  return Array.isArray(value) ? writeArray(value, path, depth) : writeObject(value, path, depth);
}

function writeArray(list: readonly unknown[], path: string, depth: number): string {
  let text = '';
  for (let i = 0; i < list.length; i += 1) {
    text += (i === 0 ? '' : ',') + write(list[i], below(path, i), depth + 1);
  }
  return `[${text}]`;
}

function writeObject(value: object, path: string, depth: number): string {
  const prototype: unknown = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) throw new NotCanonical('not-plain-data', path);
  let text = '';
  for (const key of Object.keys(value).sort()) {
    if (key === '__proto__') throw new NotCanonical('forbidden-key', below(path, key));
    const member = write((value as Record<string, unknown>)[key], below(path, key), depth + 1);
    text += `${text === '' ? '' : ','}${writeString(key, path)}:${member}`;
  }
  return `{${text}}`;
}

/**
 * The canonical text of a plain value.
 *
 * @throws for what is not plain JSON data (NaN, undefined, a Date, a lone surrogate, nesting beyond
 *   `maxDepth`): callers hand over data they built or parsed themselves, so it is a bug
 * @source RFC 8785 §3.2
 */
export const canonical = (value: unknown): string => write(value, '', 0);

/**
 * As `canonical`, for values that a person may have influenced.
 *
 * @error lone-surrogate, number-not-finite, nested-too-deep, not-plain-data, forbidden-key
 */
export function canonicalise(value: unknown): Result<string, Problem> {
  try {
    return ok(canonical(value));
  } catch (error) {
    if (error instanceof NotCanonical) return fail({ code: error.code, where: error.path, facts: {} });
    throw error;
  }
}

export interface ReadLimits {
  /** UTF-16 code units; a byte limit is kept where the file is read. */
  readonly maxLength: number;
}
/** Enough for the longest entry with 100 kB pasted into each of its notes. */
export const readLimits: ReadLimits = { maxLength: 16_000_000 };

/** Whether every object has its keys in canonical order, and nothing is nested too deep. */
function isInOrder(value: unknown, depth: number): boolean {
  if (typeof value !== 'object' || value === null) return true;
  if (depth >= maxDepth) return false;
  if (Array.isArray(value)) {
    for (const member of value) if (!isInOrder(member, depth + 1)) return false;
    return true;
  }
  let before = '';
  for (const key in value) {
    if (before > key || !isInOrder((value as Record<string, unknown>)[key], depth + 1)) return false;
    before = key;
  }
  return true;
}

/** Ill-formed text, or a way to write it; and the key that is no plain member of an object. */
const needsCare = (text: string): boolean =>
  !text.isWellFormed() || text.includes('"__proto__"') || /\\ud[89a-f]/i.test(text);

/**
 * Reads bytes that came from outside: only text that is, letter for letter, the canonical form of
 * what it says. That shuts out duplicate keys, white space, `1.0` for `1`, and every other way of
 * giving one value two texts.
 *
 * @error too-large, not-json, nested-too-deep, forbidden-key, lone-surrogate, not-canonical
 */
export function readCanonical(text: string, limits: ReadLimits = readLimits): Result<unknown, Problem> {
  const problem = (code: string, where = ''): Result<unknown, Problem> => fail({ code, where, facts: {} });
  if (text.length > limits.maxLength) return problem('too-large');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return problem('not-json');
  }
  try {
    // JSON.stringify writes exactly what RFC 8785 asks for, except for the order of members. With the
    // order already right it is several times faster than our own writer. Integer-like keys come out
    // of an object in numeric order, so a text that fails here gets the slow, exact comparison.
    if (!needsCare(text) && isInOrder(value, 0) && JSON.stringify(value) === text) return ok(value);
    return canonical(value) === text ? ok(value) : problem('not-canonical');
  } catch (error) {
    if (error instanceof NotCanonical) return problem(error.code, error.path);
    throw error;
  }
}
