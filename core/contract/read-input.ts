import * as v from 'valibot';
import { fail, ok, type Result } from '../result.ts';
import { limits } from './parts.ts';

/** Where and why something that came from outside is not what the contract says. */
export interface InputFault {
  readonly where: string;
  readonly reason: string;
}

/**
 * Holds raw input against a schema. What valibot would pass over is looked for first: names that mean
 * something to the language, texts that are no Unicode, and nesting without end.
 *
 * @error the first fault, with the path of the field
 */
export function readInput<T>(schema: v.GenericSchema<unknown, T>, raw: unknown): Result<T, InputFault> {
  // To valibot a list is an object like any other.
  if (Array.isArray(raw)) return fail({ where: '', reason: 'wrong-kind' });
  const unsafe = findUnsafe(raw, '', 0);
  if (unsafe !== null) return fail(unsafe);
  const parsed = v.safeParse(schema, raw, { abortEarly: true, abortPipeEarly: true });
  if (parsed.success) return ok(parsed.output);
  const [issue] = parsed.issues;
  return fail({ where: v.getDotPath(issue) ?? '', reason: reasonOf(issue) });
}

/** The field's own words where the schema has some; never the value, which may be a passphrase. */
function reasonOf(issue: v.BaseIssue<unknown>): string {
  switch (issue.type) {
    case 'max_length':
      return 'too-long';
    case 'min_length':
      return 'too-short';
    case 'strict_object':
      return issue.expected === 'never' ? 'unknown-field' : 'field-missing';
    case 'check':
      return issue.message;
    default:
      return 'wrong-kind';
  }
}

function findUnsafe(value: unknown, where: string, depth: number): InputFault | null {
  if (depth > limits.depth) return { where, reason: 'too-deep' };
  if (typeof value === 'string') {
    if (!value.isWellFormed()) return { where, reason: 'lone-surrogate' };
    return value.includes('\0') ? { where, reason: 'zero-character' } : null;
  }
  if (Array.isArray(value)) {
    for (const [index, item] of value.entries()) {
      const found = findUnsafe(item, where === '' ? String(index) : `${where}.${index}`, depth + 1);
      if (found !== null) return found;
    }
    return null;
  }
  if (typeof value !== 'object' || value === null) return null;
  for (const [key, item] of Object.entries(value)) {
    const path = where === '' ? key : `${where}.${key}`;
    // `in` finds __proto__, constructor and the like, which a schema's own look-up takes for known.
    if (key in Object.prototype || !key.isWellFormed()) return { where: path, reason: 'unknown-field' };
    const found = findUnsafe(item, path, depth + 1);
    if (found !== null) return found;
  }
  return null;
}
