import type { Settled, SettledChannel } from '../../lib/recipe/settle/settled.ts';

const channel = (name: string, a: number, background = 1000): SettledChannel => ({
  name,
  background,
  black: -50,
  white: 950,
  stretch: { curve: 'bias', a },
});

/** S, H and O with different curves and a mix that uses all three. */
export const SETTLED: Settled = {
  channels: [channel('S', 0.7), channel('H', 0.55, 1500), channel('O', 0.6, 1200)],
  matrix: [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ],
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'chroma',
};

/** One for every step that a pixel can take. */
export const KINDS: Readonly<Record<string, Settled>> = {
  plain: SETTLED,
  wide: { ...SETTLED, space: 'display-p3' },
  'with lightness': { ...SETTLED, lightness: [0.2, 0.5, 0.3] },
  'with a green limit': { ...SETTLED, greenLimit: { amount: 0.8, mean: 'mean' } },
  'beyond the gamut': {
    ...SETTLED,
    matrix: [
      [0, 1.4, -0.6],
      [0.25, -0.5, 1],
      [0.3, 0, 1.3],
    ],
  },
  clipped: {
    ...SETTLED,
    matrix: SETTLED.matrix.map((row) => row.map((w) => 2 * w)),
    highlights: 'clip',
    gamut: 'clip',
  },
  'in light': {
    ...SETTLED,
    channels: SETTLED.channels.map((c) => ({ ...c, stretch: { curve: 'linear' } })),
    mixIn: 'light',
    intensity: { curve: 'asinh', a: 0.1 },
  },
  'in light with all': {
    ...SETTLED,
    channels: SETTLED.channels.map((c) => ({ ...c, stretch: { curve: 'linear' } })),
    mixIn: 'light',
    intensity: { curve: 'bias', a: 0.3 },
    lightness: [0, 1, 0],
    greenLimit: { amount: 0.9, mean: 'max' },
    gamut: 'css',
    space: 'srgb-linear',
  },
};
