import type { LineNoise } from '../plane/line-noise.ts';
import { framePosition, type Surface, surfaceRow } from '../prepare/background/surface.ts';
import { blurred } from '../stars/find/blur.ts';
import type { Bins } from './bins.ts';
import { KERNELS, REACH } from './kernels.ts';
import { thresholdFor } from './threshold.ts';

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
  /** Difference of the means over its deviation by noise; 0 where unknown. */
  readonly z: Float32Array;
  /** Deviation of the difference, by noise alone, in units of the line; 0 where unknown: too little data around. */
  readonly deviation: Float32Array;
  /** Bins that are known. */
  readonly known: number;
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
 */
export const octaveOf = (bins: Bins, ground: Ground): Octave => {
  const { size, width, height } = bins;
  const z = new Float32Array(width * height);
  const deviation = new Float32Array(width * height);
  let known = 0;
  for (let y = 0; y < height; y += TILE.height)
    for (let x = 0; x < width; x += TILE.width) {
      const core = { x, y, width: Math.min(TILE.width, width - x), height: Math.min(TILE.height, height - y) };
      known += lookAtTile(bins, ground, core, { z, deviation });
    }
  return { size, width, height, z, deviation, known };
};

interface Core {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Looks at the bins of one tile; gives how many are known. */
const lookAtTile = (bins: Bins, ground: Ground, core: Core, into: Pick<Octave, 'z' | 'deviation'>): number => {
  const size = { width: core.width + 2 * REACH, height: core.height + 2 * REACH };
  const { counts, sums, covered, variances } = cutOut(bins, ground, core, size);
  const mean = (values: Float32Array) => ({
    a: blurred(values, size, KERNELS.a),
    b: blurred(values, size, KERNELS.b),
  });
  const [weight, sum, cover] = [mean(counts), mean(sums), mean(covered)];
  const spread = {
    aa: blurred(variances, size, KERNELS.aa),
    ab: blurred(variances, size, KERNELS.ab),
    bb: blurred(variances, size, KERNELS.bb),
  };
  const area = areaNoise(ground.noise);
  const full = bins.size ** 2;
  let known = 0;
  for (let y = 0; y < core.height; y++)
    for (let x = 0; x < core.width; x++) {
      const i = (y + REACH) * size.width + x + REACH;
      const [na, nb] = [weight.a[i]!, weight.b[i]!];
      if (na <= LEAST_COUNTED * full || nb <= LEAST_COUNTED * full) continue;
      if (cover.a[i]! <= LEAST_COVERED * full || cover.b[i]! <= LEAST_COVERED * full) continue;
      const variance = spread.aa[i]! / na ** 2 - (2 * spread.ab[i]!) / (na * nb) + spread.bb[i]! / nb ** 2;
      if (!(variance > 0)) continue;
      const at = (core.y + y) * bins.width + core.x + x;
      const deviation = Math.sqrt(variance) * area;
      into.deviation[at] = deviation;
      into.z[at] = (sum.a[i]! / na - sum.b[i]! / nb) / deviation;
      known++;
    }
  return known;
};

/** A tile and its surroundings, 0 beyond the frame: pixels, their sum, those with data, and pixels times variance. */
const cutOut = (bins: Bins, ground: Ground, core: Core, size: { width: number; height: number }) => {
  const planes = [0, 1, 2, 3].map(() => new Float32Array(size.width * size.height));
  const [counts, sums, covered, variances] = planes as [Float32Array, Float32Array, Float32Array, Float32Array];
  const heights = new Float64Array(bins.width);
  const { noise, level } = ground;
  const [left, right] = [Math.max(0, core.x - REACH), Math.min(bins.width, core.x + core.width + REACH)];
  const [top, bottom] = [Math.max(0, core.y - REACH), Math.min(bins.height, core.y + core.height + REACH)];
  for (let y = top; y < bottom; y++) {
    if (ground.surface && noise.perCount > 0) surfaceRow(ground.surface, framePosition(y, bins.height), heights);
    let to = (y - core.y + REACH) * size.width + left - core.x + REACH;
    for (let x = left, from = y * bins.width + left; x < right; x++, from++, to++) {
      const count = bins.counts[from]!;
      covered[to] = bins.covered[from]!;
      if (count === 0) continue;
      counts[to] = count;
      sums[to] = bins.sums[from]!;
      const above = bins.sums[from]! / count + level + heights[x]! - noise.level;
      variances[to] = count * (noise.variance + noise.perCount * Math.max(0, above));
    }
  }
  return { counts, sums, covered, variances };
};

/** How far values of an octave stand out, in units of its threshold. */
export interface Threshold {
  readonly scale: number;
  readonly u: number;
  /** Deviation, in units of the line, that flats leave at this scale. */
  readonly unevenness: number;
}

/**
 * The threshold of an octave for so many blobs by chance.
 * @param flats part of the light that flats leave uncorrected at this scale
 */
export const thresholdOf = (octave: Octave, blobs: number, flats: number, { light }: Ground): Threshold => ({
  scale: scaleOf(octave),
  u: thresholdFor(blobs, octave.known),
  unevenness: flats * Math.abs(light),
});

/** z/u at a bin, where flats add to the deviation by noise; 0 where unknown. */
export const ratioAt = ({ z, deviation }: Octave, { u, unevenness }: Threshold, i: number): number => {
  const noise = deviation[i]!;
  return noise === 0 ? 0 : (z[i]! * noise) / (u * Math.hypot(noise, unevenness));
};
