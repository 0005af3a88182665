const shown = (value: unknown): string => JSON.stringify(value) ?? String(value);

/** Fails unless both are the same as JSON. */
export const equal = (actual: unknown, expected: unknown, what = 'value'): void => {
  if (shown(actual) !== shown(expected)) throw new Error(`${what}: got ${shown(actual)}, expected ${shown(expected)}`);
};

export const near = (actual: number, expected: number, tolerance: number): void => {
  if (!(Math.abs(actual - expected) <= tolerance))
    throw new Error(`got ${actual}, expected ${expected} ± ${tolerance}`);
};

export const ok = (condition: unknown, what: string): void => {
  if (!condition) throw new Error(`not so: ${what}`);
};
