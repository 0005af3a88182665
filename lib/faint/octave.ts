import type { LineNoise } from '../plane/line-noise.ts';
import { createScratch, type Scratch } from '../plane/scratch.ts';
import { framePosition, type Surface, surfaceRow } from '../prepare/background/surface.ts';
import { blurredBy } from '../stars/find/blur.ts';
import type { Bins } from './bins.ts';
import { type HalfKernel, KERNELS, REACH } from './kernels.ts';

/** What binned values are told from: they are values of the line less a surface and a level. */
export interface Ground {
  readonly noise: LineNoise;
  /** What was subtracted before binning; nothing where absent. */
  readonly surface?: Surface | undefined;
  readonly level: number;
  /** Light per pixel at `noise.level`, in units of the line: what flats are a factor on. */
  readonly light: number;
}

/** What is found at one scale: how far the mean of a place stands out from the wider mean around it. */
export interface Octave {
  /** Side of a bin in pixels; the scale is twice that. */
  readonly size: number;
  readonly width: number;
  readonly height: number;
  /** Difference of the means over its deviation by noise and flats; NaN where unknown: too little data around. */
  readonly z: Float32Array;
  /** Bins that are known. */
  readonly known: number;
  /** Deviation of the difference by noise alone, root mean square over the known bins, in units of the line. */
  readonly noise: number;
  /** Mean square of the difference less that of noise, in squared units of the line. */
  readonly excess: number;
}

/** The scale of an octave in pixels. */
export const scaleOf = ({ size }: Pick<Bins, 'size'>): number => 2 * size;

/** Share of both kernels that the frame must fill, and that must be left beside masked stars. */
const LEAST_COVERED = 0.8;
const LEAST_COUNTED = 0.3;
/** Bins of a tile on each side, beside its surroundings: narrow enough for the blur, low enough for the cache. */
const TILE = { width: 1536, height: 232 } as const;

/** Noise of the mean of many pixels over that of as many independent ones: neighbours share r along each of two axes. */
export const areaNoise = ({ neighbours }: Pick<LineNoise, 'neighbours'>): number => 1 + 2 * neighbours;

/**
 * One octave of a line: d = a∗(WX)/(a∗W) − b∗(WX)/(b∗W), a and b Gaussians of 2 and 8 bins, W the pixels that count and X
 * their mean; its variance a²∗(WV)/(a∗W)² − 2ab∗(WV)/(a∗W·b∗W) + b²∗(WV)/(b∗W)² times (1 + 2r)², V the variance of a
 * pixel at its level and r the correlation of neighbours along each axis.
 * @param unevenness deviation that flats add, in units of the line
 */
export const octaveOf = (bins: Bins, ground: Ground, unevenness = 0): Octave => {
  const { size, width, height } = bins;
  const z = new Float32Array(width * height).fill(Number.NaN);
  const sums = { known: 0, variance: 0, excess: 0 };
  const room = createScratch();
  for (let y = 0; y < height; y += TILE.height)
    for (let x = 0; x < width; x += TILE.width) {
      const core = { x, y, width: Math.min(TILE.width, width - x), height: Math.min(TILE.height, height - y) };
      lookAtTile(bins, ground, core, { z, sums, added: unevenness ** 2, room });
    }
  const { known, variance, excess } = sums;
  const count = Math.max(1, known);
  return { size, width, height, z, known, noise: Math.sqrt(variance / count), excess: excess / count };
};

interface Core {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Where a tile puts what it finds. */
interface Found {
  readonly z: Float32Array;
  readonly sums: { known: number; variance: number; excess: number };
  /** Variance that flats add. */
  readonly added: number;
  readonly room: Scratch;
}

const lookAtTile = (bins: Bins, ground: Ground, core: Core, { z, sums, added, room }: Found): void => {
  const size = { width: core.width + 2 * REACH, height: core.height + 2 * REACH };
  const cut = cutOut(bins, ground, core, size, room);
  const through = (name: string, values: Float32Array, kernels: readonly HalfKernel[]) => {
    const into = kernels.map((_, k) => room.floats(`${name} ${k}`, values.length));
    blurredBy(values, size, kernels, into);
    return into as [Float32Array, Float32Array, Float32Array];
  };
  const [countA, countB] = through('counts', cut.counts, [KERNELS.a, KERNELS.b]);
  const [sumA, sumB] = through('sums', cut.sums, [KERNELS.a, KERNELS.b]);
  const [aa, ab, bb] = through('variances', cut.variances, [KERNELS.aa, KERNELS.ab, KERNELS.bb]);
  const cover = cut.isWhole ? undefined : through('covered', cut.covered, [KERNELS.a, KERNELS.b]);
  const area = areaNoise(ground.noise) ** 2;
  const full = bins.size ** 2;
  const [counted, covered] = [LEAST_COUNTED * full, LEAST_COVERED * full];
  for (let y = 0; y < core.height; y++) {
    let i = (y + REACH) * size.width + REACH;
    let at = (core.y + y) * bins.width + core.x;
    for (let x = 0; x < core.width; x++, i++, at++) {
      const [na, nb] = [countA[i]!, countB[i]!];
      if (na <= counted || nb <= counted) continue;
      if (cover !== undefined && (cover[0][i]! <= covered || cover[1][i]! <= covered)) continue;
      const variance = area * (aa[i]! / (na * na) - (2 * ab[i]!) / (na * nb) + bb[i]! / (nb * nb));
      if (!(variance > 0)) continue;
      const d = sumA[i]! / na - sumB[i]! / nb;
      z[at] = d / Math.sqrt(variance + added);
      sums.known++;
      sums.variance += variance;
      sums.excess += d * d - variance;
    }
  }
};

/** A tile and its surroundings, 0 beyond the frame: pixels, their sum, those with data, and pixels times variance. */
const cutOut = (bins: Bins, ground: Ground, core: Core, size: { width: number; height: number }, room: Scratch) => {
  const plane = (name: string) => room.zeros(name, size.width * size.height);
  const [counts, sums, covered, variances] = ['W', 'WX', 'covered', 'WV'].map(plane) as FourPlanes;
  const heights = new Float64Array(bins.width);
  const { noise, level, surface } = ground;
  const rises = noise.perCount > 0;
  const [left, right] = [Math.max(0, core.x - REACH), Math.min(bins.width, core.x + core.width + REACH)];
  const [top, bottom] = [Math.max(0, core.y - REACH), Math.min(bins.height, core.y + core.height + REACH)];
  const full = bins.size ** 2;
  let isWhole = right - left === size.width && bottom - top === size.height;
  for (let y = top; y < bottom; y++) {
    if (surface && rises) surfaceRow(surface, framePosition(y, bins.height), heights);
    let to = (y - core.y + REACH) * size.width + left - core.x + REACH;
    for (let x = left, from = y * bins.width + left; x < right; x++, from++, to++) {
      const cover = bins.covered[from]!;
      if (cover !== full) isWhole = false;
      covered[to] = cover;
      const count = bins.counts[from]!;
      if (count === 0) continue;
      const sum = bins.sums[from]!;
      counts[to] = count;
      sums[to] = sum;
      const above = sum / count + level + heights[x]! - noise.level;
      variances[to] = count * (rises && above > 0 ? noise.variance + noise.perCount * above : noise.variance);
    }
  }
  return { counts, sums, covered, variances, isWhole };
};

type FourPlanes = [Float32Array, Float32Array, Float32Array, Float32Array];

/** How far values of an octave have to stand out. */
export interface Threshold {
  readonly scale: number;
  readonly u: number;
  /** Deviation, in units of the line, that flats leave at this scale. */
  readonly unevenness: number;
}
