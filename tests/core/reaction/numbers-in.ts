/** Every number anywhere in a value, with the path to it. */
export function* numbersIn(value: unknown, path = ''): Generator<readonly [string, number]> {
  if (typeof value === 'number') yield [path, value];
  else if (Array.isArray(value)) {
    for (const [index, one] of value.entries()) yield* numbersIn(one, `${path}.${index}`);
  } else if (typeof value === 'object' && value !== null) {
    for (const [key, one] of Object.entries(value))
      yield* numbersIn(one, path === '' ? key : `${path}.${key}`);
  }
}

/** Fails with the place of the first number that is NaN or infinite. */
export function expectFinite(value: unknown): void {
  for (const [path, number] of numbersIn(value)) {
    if (!Number.isFinite(number)) throw new Error(`${path} is ${number}`);
  }
}
