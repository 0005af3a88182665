/** Numbers in [0, 1) that are the same at every run: a linear congruential generator (Numerical Recipes, 2nd ed., 7.1). */
export const randomFrom = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

/** `count` colours with each channel in [low, high), packed. */
export const randomColours = (seed: number, count: number, low: number, high: number): Float64Array => {
  const next = randomFrom(seed);
  return Float64Array.from({ length: 3 * count }, () => low + (high - low) * next());
};
