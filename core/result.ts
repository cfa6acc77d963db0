/**
 * The reply of every function that can fail for a reason a user can act on.
 * `throw` is kept for bugs; an expected failure is a value.
 */
export type Result<T, E> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const fail = <E>(error: E): { readonly ok: false; readonly error: E } => ({
  ok: false,
  error,
});

/**
 * What is wrong, for a program (`code`) and for a sentence (`facts`). The wording lives in
 * `core/wording`, so that screens, PDF and command line say the same thing.
 */
export interface Problem {
  readonly code: string;
  /** Where the fault was typed: a field path such as `rows.2.supply.density`, or `''` for the whole. */
  readonly where: string;
  /** Zero-based offset into the text that was typed, where a parser can tell. */
  readonly position?: number;
  readonly facts: Readonly<Record<string, string | number>>;
}
