import type { ChannelRegistration } from '../../lib/measure/registration/channels.ts';
import type { Suggestion } from '../../lib/recipe/suggest/suggest.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Tally } from '../../lib/tally/tally.ts';
import type { Histogram } from '../../lib/web/histogram.ts';
import type { LineReport } from '../../lib/web/line-reports.ts';
import type { Preview } from '../../lib/web/preview.ts';
import type { ListedStars } from '../../lib/web/star-list.ts';
import type { SurfaceView } from '../../lib/web/surface.ts';
import type { HeldLines } from '../../lib/work/hold.ts';
import { MARKS, type MarkedPicture } from '../../lib/work/marks.ts';
import type { ProbeAnswer } from '../../lib/work/probe.ts';
import type { PageMaster } from '../state/masters.ts';

// What the worker would tell of three small masters, in round numbers: the story of each element shows it, and tests
// expect it.

/** The master of a line, of 60 × 40 pixels. */
export const master = (line: string, more: Partial<PageMaster> = {}): PageMaster => ({
  id: `id-${line}`,
  file: `field-${line}.fits`,
  width: 60,
  height: 40,
  type: 'u16',
  facts: { filter: line, hours: 5, from: { filter: 'FILTER' } },
  warnings: [],
  from: new Blob(),
  line,
  reason: { kind: 'header', keyword: 'FILTER', value: line },
  ...more,
});

/** A sky with a tail. */
export const histogram = (): Histogram => ({
  level: 100,
  unit: 10,
  low: -2,
  high: 6,
  counts: Uint32Array.from({ length: 160 }, (_, i) => Math.round(1e5 * Math.exp(-(((i - 40) / 12) ** 2))) + 1),
});

/** A picture of S, H and O in which every pixel is (200, 100, 50). */
export const preview = (width = 60, height = 40): Preview => {
  const data = new Uint8ClampedArray(width * height * 4);
  for (let i = 0; i < data.length; i += 4) data.set([200, 100, 50, 255], i);
  const matrix = [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ];
  const channels = ['S', 'H', 'O'];
  return {
    width,
    height,
    data,
    space: 'srgb',
    warnings: [],
    full: { width, height },
    plain: { channels, matrix },
    settled: {
      channels: channels.map((name) => ({
        name,
        background: 100,
        black: -20,
        white: 900,
        stretch: { curve: 'bias', a: 0.8 },
      })),
      matrix,
      mixIn: 'display',
      space: 'srgb',
      highlights: 'ratio',
      gamut: 'chroma',
    },
  };
};

/** What is measured of a line. */
export const lineReport = (line: string): LineReport => ({
  noise: 9.87654,
  histogram: histogram(),
  measured: {
    name: line,
    file: `field-${line}.fits`,
    level: 100.123,
    spread: 30.5,
    saturated: 3,
  } as LineReport['measured'],
});

/** A pixel that lacks blue. */
export const probed = (more: Partial<ProbeAnswer> = {}): ProbeAnswer => ({
  x: 12,
  y: 7,
  space: 'srgb',
  lines: [
    { name: 'S', value: 1136, strength: 0.4, brings: [0, 0.1, 0] },
    { name: 'H', value: 4195, strength: 0.65, brings: [0.65, 0, 0] },
    { name: 'O', value: 2767, strength: 0.6, brings: [0, 0.3, -0.1] },
  ],
  mixed: [0.65, 0.4, -0.1],
  colour: { rgb: [0.65, 0.4, 0.1], oklch: [0.6, 0.12, 55] },
  noise: [0.01, 0.02, 0.03],
  others: [{ id: 'hoo', colour: { rgb: [0, 1, 0], oklch: [0.87, 0.29, 142] } }],
  ...more,
});

/** The left third is out of gamut, the middle at full strength, nothing in the right. */
export const marked = (): MarkedPicture => ({
  width: 60,
  height: 40,
  marks: Uint8Array.from({ length: 2400 }, (_, i) => (i % 60 < 20 ? MARKS.outside : i % 60 < 40 ? MARKS.full : 0)),
  share: { outside: 1 / 3, full: 1 / 3, black: 0, undefined: 0 },
});

/** O lies 2 px right of H in the middle of the picture; a second place was left out. */
export const registration: ChannelRegistration = {
  channel: 'O',
  reference: 'H',
  status: 'found',
  dx: 2,
  dy: -0.5,
  rotation: 0.12,
  scale: 1,
  residual: 0.1,
  uncertainty: { shift: 0.1, rotation: 0.01, scale: 1e-4 },
  tiles: [
    { x: 30, y: 20, dx: 2, dy: 0, weight: 9 },
    { x: 10, y: 10, dx: 9, dy: 9, weight: 0 },
  ],
};

/** Two stars; those of S are round. */
export const listedStars = (): ListedStars => ({
  count: 2,
  x: Float32Array.of(30, 12),
  y: Float32Array.of(20, 8),
  snr: Float32Array.of(80, 12),
  lines: [
    { name: 'S', fwhm: 2.4, flattening: 0.004, angle: 12, peaks: Float32Array.of(900, 60) },
    { name: 'H', fwhm: 2.53, flattening: 0.12, angle: -31, peaks: Float32Array.of(1800, 200) },
  ],
});

/** A surface on one block, the other rejected. */
export const surfaceView = (line: string): SurfaceView => ({
  line,
  picture: preview(12, 8),
  box: { x: 0, y: 0, width: 60, height: 40 },
  order: 2,
  size: 16,
  blocks: [
    { x: 8, y: 8, used: true },
    { x: 40, y: 24, used: false },
  ],
  rms: 3.1234,
  pixelNoise: 4,
  uncertainty: 0.7,
  best: 2,
  warnings: ['it may follow the nebula'],
});

const identity = () => [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** A mix that the page suggests; its name looks like markup. */
export const suggestion: Suggestion = {
  id: 'wide',
  recipe: { name: 'Wide <b>x</b>', channels: ['S', 'H', 'O'], matrix: identity() },
  why: 'Spreads the colours.',
  matrix: identity(),
  gain: 1.324,
  chromaGain: 1.5,
  apart: 0.094,
  skyChroma: 0.004,
  spread: 1,
  noise: 1.2,
  screenNoise: 1.1,
  separation: 40,
  outside: 0,
};

/** Weights that bring so many places to their colours, the second not quite. */
export const heldLines = (recipe: WrittenRecipe, places: number): HeldLines => ({
  weights: [],
  price: 1.25,
  loosened: true,
  places: Array.from({ length: places }, (_, i) => ({
    wanted: [0, 0.2, 1],
    got: [0, 0.2, 1],
    left: i === 0 ? 0 : 0.05,
  })),
  sky: { wanted: [0, 0, 0], got: [0, 0, 0], left: 0 },
  cosine: 0.9994,
  conflicts: places > 1 ? [{ place: 1, like: 'sky', cosine: 0.9994 }] : [],
  recipe: {
    ...recipe,
    matrix: recipe.matrix?.map((row) => row.map((w) => (typeof w === 'number' ? w / 2 : w))),
    balance: 'as-written',
  },
  space: 'srgb',
  boxes: [],
  warnings: [],
});

/** Subs of two targets. */
export const tallied: Tally = {
  targets: [
    {
      target: 'Emberwing',
      lines: [
        { line: 'H', subs: 36, hours: 4, nights: 2, lengths: { 400: 36 }, first: '2025-01-20', last: '2025-01-21' },
        {
          line: 'O',
          subs: 50,
          hours: 5,
          nights: 3,
          lengths: { 300: 20, 400: 30 },
          first: '2025-01-28',
          last: '2025-02-21',
        },
      ],
    },
    { target: '', lines: [{ line: 'S', subs: 1, hours: 0.1, nights: 0, lengths: { 360: 1 } }] },
  ],
  unnamed: [],
  skipped: [],
  left: { calibration: 12, masters: 1 },
  noon: { localTime: 0, longitude: 0, utc: 86 },
  nights: [],
  notes: ['1 sub without date and time: counted in no night'],
};
