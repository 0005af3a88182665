import type { Settled, SettledChannel, SettledStretch } from '../../lib/recipe/settle/settled.ts';

/** Numbers in [0, 1) that are the same in every run (a linear congruence of the Numerical Recipes kind, from memory). */
export const randomNumbers = (seed: number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

/** Every curve, from gentle to as steep as recipes allow. */
export const STRETCHES: readonly SettledStretch[] = [
  { curve: 'linear' },
  ...[1e-6, 0.04, 0.2, 0.5, 0.9, 0.99, 0.9999, 1 - 1e-6].map((a) => ({ curve: 'bias', a }) as const),
  ...[1e-9, 1e-6, 1e-3, 0.1, 1000].map((a) => ({ curve: 'asinh', a }) as const),
  ...[1e-6, 1, 500, 1e5, 1e9].map((a) => ({ curve: 'log', a }) as const),
  ...[0.01, 0.1, 0.45, 1, 2.2, 10, 100].map((a) => ({ curve: 'power', a }) as const),
  ...[
    [[0.3, 0.6]],
    [
      [0.01, 0.1],
      [0.02, 0.5],
      [0.5, 0.9],
    ],
    [
      [0, 0.05],
      [0.4, 0.4],
      [0.41, 0.6],
      [1, 0.9],
    ],
    [
      [0.5, 0.1],
      [0.500001, 0.9],
    ],
  ].map((points) => ({ curve: 'points', points: points as [number, number][] }) as const),
].map((s): SettledStretch => ('a' in s ? { ...s, a: Math.fround(s.a) } : (s as SettledStretch)));

export const channel = (name: string, stretch: SettledStretch, offset = 0.0125): SettledChannel => ({
  name,
  background: Math.fround(offset),
  black: Math.fround(-0.003),
  white: Math.fround(0.87),
  stretch,
});

export const settledFor = (stretch: SettledStretch, change: Partial<Settled> = {}): Settled => ({
  channels: [channel('S', stretch), channel('H', stretch, 0.02), channel('O', stretch, 0)],
  matrix: [
    [0.2, 0.8, 0],
    [0.1, 0.4, 0.5],
    [0, 0, 1],
  ],
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'chroma',
  ...change,
});

/** The mix of a settled recipe in light: linear channels, the curve on the intensity. */
export const inLight = (intensity: SettledStretch, change: Partial<Settled> = {}): Settled =>
  settledFor({ curve: 'linear' }, { mixIn: 'light', intensity, ...change });

/** Samples as masters have them: faint, bright, negative, missing, and beyond white. */
export const samplesLike = (count: number, seed: number): Float32Array<ArrayBuffer> => {
  const random = randomNumbers(seed);
  return Float32Array.from({ length: count }, () => {
    const kind = random();
    if (kind < 0.02)
      return [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -0][Math.floor(random() * 5)]!;
    if (kind < 0.4) return 0.0125 + 10 ** (-7 + 7 * random());
    if (kind < 0.5) return -0.02 * random();
    if (kind < 0.55) return 1 + 5 * random();
    return random();
  });
};
