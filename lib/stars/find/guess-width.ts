import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { sorted } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { type StripOptions, samplesFor } from '../../plane/strips.ts';
import { blurred } from './blur.ts';
import { gaussKernel } from './gauss.ts';
import { tileOf } from './tile.ts';

/** Places of the frame that are looked at, along each axis, and their side in pixels. */
const PLACES = 4;
const SIDE = 256;
/** Local maxima so many times above the noise are measured … */
const LEAST_SNR = 15;
/** … the brightest of each place … */
const MOST = 40;
/** … from their middle so far outwards, in pixels. */
const FARTHEST = 10;
/** Fewer say nothing. */
const FEWEST = 5;
/** Widths that stars may have, in pixels: what is wider cannot be told from the knots of a nebula. */
const NARROWEST = 1.2;
const WIDEST = 7;
/** The share of all widths that lie below the one that counts. */
const LOWER = 0.3;
/** A round maximum is at most so many times as wide along one direction as along another. */
const ROUND = 1.6;
/** Maxima are looked for in a slightly smoothed picture. */
const SOFTENED = 0.8;

/**
 * The full width at half maximum of the stars of a frame in pixels, from bright round maxima of all lines together, where the
 * light falls to half of its height above what lies around. Knots of a nebula are wider than stars: of all widths a lower one
 * counts. Undefined where hardly any maxima stand out, or they are too wide for stars.
 */
export const widthOf = async (
  sources: readonly { readonly source: PlaneSource }[],
  noise: readonly number[],
  options: StripOptions = {},
): Promise<number | undefined> => {
  const rising = sorted(await widthsOf(sources, noise, options));
  if (rising.length < FEWEST) return undefined;
  const width = rising[Math.floor(LOWER * rising.length)]!;
  return width > WIDEST ? undefined : Math.max(NARROWEST, width);
};

/** The widths of bright round maxima. */
const widthsOf = async (
  sources: readonly { readonly source: PlaneSource }[],
  noise: readonly number[],
  { signal }: StripOptions,
): Promise<number[]> => {
  const { width, height } = sources[0]!.source;
  const [columns, rows] = [Math.min(SIDE, width), Math.min(SIDE, height)];
  const widths: number[] = [];
  for (let j = 0; j < PLACES; j++) {
    throwIfCancelled(signal);
    const top = Math.round(((height - rows) * j) / (PLACES - 1));
    const lines = [];
    for (const { source } of sources) {
      const data = samplesFor(source, rows * width);
      await source.readRows(top, rows, data);
      lines.push(data);
    }
    for (let i = 0; i < PLACES; i++) {
      const left = Math.round(((width - columns) * i) / (PLACES - 1));
      const core = { x0: 0, y0: 0, x1: columns, y1: rows };
      const tile = tileOf({ width, top, rows, lines }, { left, width: columns }, core);
      const sum = new Float32Array(columns * rows);
      for (const [k, line] of tile.lines.entries())
        for (let p = 0; p < sum.length; p++) sum[p]! += line[p]! / noise[k]!;
      widths.push(...widthsIn(sum, tile.defined, columns, rows, Math.sqrt(lines.length)));
    }
  }
  return widths;
};

const widthsIn = (sum: Float32Array, defined: Uint8Array, width: number, height: number, noise: number): number[] => {
  const soft = blurred(sum, { width, height }, gaussKernel(SOFTENED));
  const found: { snr: number; x: number; y: number }[] = [];
  const edge = FARTHEST + 1;
  for (let y = edge; y < height - edge; y++)
    for (let x = edge; x < width - edge; x++) {
      const i = y * width + x;
      if (!isHighest(soft, i, width, 3)) continue;
      const around = ring(soft, x, y, width, FARTHEST);
      const snr = (soft[i]! - around) / noise;
      if (snr > LEAST_SNR && defined[i] === 1) found.push({ snr, x, y });
    }
  found.sort((a, b) => b.snr - a.snr);
  return found.slice(0, MOST).flatMap(({ x, y }) => widthAt(sum, x, y, width) ?? []);
};

const isHighest = (values: Float32Array, i: number, width: number, radius: number): boolean => {
  for (let v = -radius; v <= radius; v++)
    for (let u = -radius; u <= radius; u++) if ((u || v) && !(values[i]! > values[i + v * width + u]!)) return false;
  return true;
};

/** The median of a square ring of a radius. */
const ring = (values: Float32Array, x: number, y: number, width: number, radius: number): number => {
  const found: number[] = [];
  for (let u = -radius; u <= radius; u++)
    for (const [a, b] of [
      [u, -radius],
      [u, radius],
      [-radius, u],
      [radius, u],
    ] as const)
      found.push(values[(y + b) * width + x + a]!);
  return upperMedian(Float64Array.from(found));
};

/** The mean width at which the light has fallen to half, along four directions; undefined where it does not, or unevenly. */
const widthAt = (values: Float32Array, x: number, y: number, width: number): number | undefined => {
  const around = ring(values, x, y, width, FARTHEST);
  const half = (values[y * width + x]! - around) / 2;
  const distances: number[] = [];
  for (const [u, v] of DIRECTIONS) {
    const step = Math.hypot(u, v);
    let last = 2 * half;
    let distance: number | undefined;
    for (let n = 1; n * step <= FARTHEST && distance === undefined; n++) {
      const next = values[(y + n * v) * width + x + n * u]! - around;
      if (next < half) distance = (n - 1 + (last - half) / (last - next)) * step;
      last = next;
    }
    if (distance === undefined) return undefined;
    distances.push(distance);
  }
  // Across the middle, so that a maximum between pixels is not taken for a long one.
  const across = [0, 1, 4, 5].map((i) => distances[i]! + distances[OPPOSITE[i]!]!);
  const mean = across.reduce((a, b) => a + b, 0) / across.length;
  return Math.max(...across) <= ROUND * Math.min(...across) ? mean : undefined;
};

const OPPOSITE: Readonly<Record<number, number>> = { 0: 2, 1: 3, 4: 7, 5: 6 };

const DIRECTIONS = [
  [1, 0],
  [0, 1],
  [-1, 0],
  [0, -1],
  [1, 1],
  [-1, 1],
  [1, -1],
  [-1, -1],
] as const;
