import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { quickMedian } from '../../plane/select.ts';
import type { BlockField } from './edge-shadow.ts';
import type { RobustFit } from './robust-fit.ts';

export const CORNERS = ['top left', 'top right', 'bottom left', 'bottom right'] as const;

/** Light that is brightest in a corner and fades with the distance from it. */
export interface CornerGlow {
  readonly corner: (typeof CORNERS)[number];
  /** Height in the corner above the surface, in units of the values. */
  readonly height: number;
}

/** Lengths over which the light may fade to 1/e, over the shorter side of the grid. (These and the rest: bounds of our own.) */
const LENGTHS = [0.04, 0.055, 0.075, 0.1, 0.14, 0.19, 0.25, 0.33];
/** How far from the corner blocks are looked at, over the shorter side: further in there may be something else. */
const LOOKS = [0.45, 0.32, 0.24, 0.16];
/** The glow is at least so many times the noise of a pixel high in its corner: less is what a plane leaves of a curved sky. */
const HIGH = 2;
/** It explains so much of what the blocks vary by, and leaves no more than so much of the noise of a pixel and of its height. */
const EXPLAINED = 0.9;
const LEFT = 0.4;
const LEFT_OF_HEIGHT = 0.05;
/** Blocks that stand for the corner. */
const FEWEST = 12;
/** Blocks that may hold something else, stars say. */
const MOST_OTHERS = 0.25;

/** Corners that glow as a sensor with a warm amplifier does: A·e^(−r/L) + c above a surface explains all that is there. */
export const cornerGlows = (
  { points, places, pixelNoise }: BlockField,
  { at }: Pick<RobustFit, 'at'>,
): CornerGlow[] => {
  const { columns, rows } = places;
  const unit = Math.min(columns, rows);
  const glows: CornerGlow[] = [];
  for (const [i, corner] of CORNERS.entries()) {
    const [cx, cy] = [i % 2 === 0 ? -0.5 : columns - 0.5, i < 2 ? -0.5 : rows - 0.5];
    const distance = points.map((_, k) => Math.hypot(places.column[k]! - cx, places.row[k]! - cy) / unit);
    const heights = points.map(({ u, v, value }) => value - at(u, v));
    const height = glowHeight(distance, heights, pixelNoise);
    if (height !== undefined) glows.push({ corner, height });
  }
  return glows;
};

/** The height of the best line over the widest look that shows a glow. */
const glowHeight = (distances: readonly number[], heights: readonly number[], noise: number): number | undefined => {
  for (const look of LOOKS) {
    const near = distances.flatMap((d, k) => (d <= look ? [k] : []));
    if (near.length < FEWEST) continue;
    const [best] = LENGTHS.filter((length) => length < look)
      .flatMap((length) =>
        fadingLine(
          near.map((k) => Math.exp(-distances[k]! / length)),
          near.map((k) => heights[k]!),
        ),
      )
      .sort((a, b) => a.left / a.spread - b.left / b.spread);
    if (best === undefined) continue;
    const { slope, left, spread } = best;
    const clear = slope >= HIGH * noise && left <= LEFT * noise + LEFT_OF_HEIGHT * slope;
    if (clear && left <= Math.sqrt(1 - EXPLAINED) * spread) return slope;
  }
  return undefined;
};

/** `left` and `spread` are rms about the line and about the mean. */
interface Line {
  readonly slope: number;
  readonly left: number;
  readonly spread: number;
}

const PASSES = 10;

/**
 * A line y = slope·x + c by least squares through the points within 4 σ of the line of least absolute residuals; nothing
 * where these are too few.
 */
const fadingLine = (x: readonly number[], y: readonly number[]): Line[] => {
  let weights = x.map(() => 1);
  let residuals = y.map(() => 0);
  for (let pass = 0; pass < PASSES; pass++) {
    const { slope, at } = weightedLine(x, y, weights);
    residuals = y.map((value, k) => Math.abs(value - at - slope * x[k]!));
    const least = 1e-3 * quickMedian(Float64Array.from(residuals)) || Number.MIN_VALUE;
    weights = residuals.map((r) => 1 / Math.max(least, r));
  }
  const reach = 4 * MAD_TO_SIGMA * quickMedian(Float64Array.from(residuals));
  const inside = residuals.map((r) => Number(r <= reach));
  const count = inside.reduce((a, b) => a + b, 0);
  if (count < (1 - MOST_OTHERS) * x.length) return [];
  const { slope, at, mean } = weightedLine(x, y, inside);
  const rms = (of: (k: number) => number) => Math.sqrt(inside.reduce((sum, w, k) => sum + w * of(k) ** 2, 0) / count);
  return [{ slope, left: rms((k) => y[k]! - at - slope * x[k]!), spread: rms((k) => y[k]! - mean) }];
};

/** The weighted least-squares line at + slope·x, and the weighted mean of y. */
const weightedLine = (x: readonly number[], y: readonly number[], weights: readonly number[]) => {
  const total = weights.reduce((a, b) => a + b, 0);
  const meanOf = (of: (k: number) => number) => weights.reduce((sum, w, k) => sum + w * of(k), 0) / total;
  const [mx, my] = [meanOf((k) => x[k]!), meanOf((k) => y[k]!)];
  const slope = meanOf((k) => (x[k]! - mx) * (y[k]! - my)) / meanOf((k) => (x[k]! - mx) ** 2);
  return { slope, at: my - slope * mx, mean: my };
};
