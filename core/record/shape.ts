/**
 * Shapes of the objects that come from outside, checked by hand because core takes no packages. A
 * check answers with the path of the first fault, or null; unknown keys are faults, since a key that
 * no reader looks at is a place to hide something under a signature.
 */
export type Shape = (value: unknown, path: string) => string | null;

const fault = (isGood: boolean, path: string): string | null => (isGood ? null : path || 'the whole');

export const text =
  (longest = 2000): Shape =>
  (value, path) =>
    fault(typeof value === 'string' && value.length <= longest, path);

export const matching =
  (pattern: RegExp): Shape =>
  (value, path) =>
    fault(typeof value === 'string' && pattern.test(value), path);

export const hash = matching(/^[0-9a-f]{64}$/);
/** UTC with milliseconds and `Z`, so that comparing texts compares instants. */
export const instant: Shape = (value, path) =>
  fault(
    typeof value === 'string' &&
      // The ranges are in the pattern: asking Date.parse for each event doubles the time of a check.
      /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/.test(value),
    path,
  );

export const whole =
  (least: number, most: number): Shape =>
  (value, path) =>
    fault(typeof value === 'number' && Number.isInteger(value) && value >= least && value <= most, path);

export const number: Shape = (value, path) => fault(typeof value === 'number', path);
export const flag: Shape = (value, path) => fault(typeof value === 'boolean', path);

export const oneOf =
  (...options: readonly (string | number)[]): Shape =>
  (value, path) =>
    fault(options.includes(value as string | number), path);

export const orNull =
  (shape: Shape): Shape =>
  (value, path) =>
    value === null ? null : shape(value, path);

export const listOf =
  (shape: Shape, longest = 100_000): Shape =>
  (value, path) => {
    if (!Array.isArray(value) || value.length > longest) return path;
    for (let i = 0; i < value.length; i += 1) {
      // Paths are for faults, and faults are rare: the path is made, and the fault looked for again, only then.
      if (shape(value[i], path) !== null) return shape(value[i], `${path}.${i}`);
    }
    return null;
  };

/** An object with exactly these keys. */
export function object(shapes: Readonly<Record<string, Shape>>): Shape {
  const members = Object.entries(shapes);
  const inside = (path: string, key: string): string => (path === '' ? key : `${path}.${key}`);
  return (value, path) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return path || 'the whole';
    const given = value as Record<string, unknown>;
    for (const [key, shape] of members) {
      if (!Object.hasOwn(given, key)) return inside(path, key);
      if (shape(given[key], path) !== null) return shape(given[key], inside(path, key));
    }
    // With all of them there, one more can only be unknown.
    if (Object.keys(given).length === members.length) return null;
    return inside(path, Object.keys(given).find((key) => !Object.hasOwn(shapes, key)) ?? '');
  };
}
