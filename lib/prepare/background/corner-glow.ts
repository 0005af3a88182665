import { quickMedian } from '../../plane/quick-median.ts';
import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import type { BlockField } from './edge-shadow.ts';
import type { RobustFit } from './robust-fit.ts';

export const CORNERS = ['top left', 'top right', 'bottom left', 'bottom right'] as const;

/** Light that is brightest in a corner and fades with the distance from it. */
export interface CornerGlow {
  readonly corner: (typeof CORNERS)[number];
  /** Height in the corner above the surface, in units of the values. */
  readonly height: number;
}

/** How far from the corner blocks are looked at, over the shorter side of the grid. (This and the rest: bounds of our own.) */
const LOOK = 0.45;
/** Lengths over which the light may fade to 1/e, over the shorter side. */
const LENGTHS = [0.04, 0.055, 0.075, 0.1, 0.14, 0.19, 0.25, 0.33];
/** The glow is at least so many times the noise of a pixel high in its corner. */
const HIGH = 1;
/** It explains so much of what the blocks vary by, and leaves no more than this many times the noise of a pixel. */
const EXPLAINED = 0.9;
const LEFT = 0.4;
/** Blocks that stand for the corner. */
const FEWEST = 20;

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
    const near = distance.flatMap((d, k) => (d <= LOOK ? [k] : []));
    if (near.length < FEWEST) continue;
    const heights = near.map((k) => points[k]!.value - at(points[k]!.u, points[k]!.v));
    const height = glowHeight(
      near.map((k) => distance[k]!),
      heights,
      pixelNoise,
    );
    if (height !== undefined) glows.push({ corner, height });
  }
  return glows;
};

/** The height of the best of all lengths, if it is a glow. */
const glowHeight = (distances: readonly number[], heights: readonly number[], noise: number): number | undefined => {
  const fits = LENGTHS.map((length) =>
    fadingLine(
      distances.map((d) => Math.exp(-d / length)),
      heights,
    ),
  );
  const best = fits.reduce((a, b) => (b.left < a.left ? b : a));
  const is =
    best.slope >= HIGH * noise && best.left <= LEFT * noise && best.left <= Math.sqrt(1 - EXPLAINED) * best.spread;
  return is ? best.slope : undefined;
};

/** A line y = slope·x + c by least squares, once more without what lies 4 σ off (stars); `left` and `spread` are rms about it and about the mean. */
const fadingLine = (x: readonly number[], y: readonly number[]) => {
  let chosen = x.map((_, k) => k);
  for (let pass = 0; ; pass++) {
    const n = chosen.length;
    const mean = (of: (k: number) => number) => chosen.reduce((sum, k) => sum + of(k), 0) / n;
    const [mx, my] = [mean((k) => x[k]!), mean((k) => y[k]!)];
    const slope = mean((k) => (x[k]! - mx) * (y[k]! - my)) / mean((k) => (x[k]! - mx) ** 2);
    const rest = (k: number) => y[k]! - my - slope * (x[k]! - mx);
    const result = {
      slope,
      left: Math.sqrt(mean((k) => rest(k) ** 2)),
      spread: Math.sqrt(mean((k) => (y[k]! - my) ** 2)),
    };
    if (pass === 1) return result;
    const reach = 4 * MAD_TO_SIGMA * quickMedian(Float64Array.from(chosen, (k) => Math.abs(rest(k))));
    const kept = chosen.filter((k) => Math.abs(rest(k)) <= reach);
    // A glow is not what a few blocks do.
    if (kept.length < 0.9 * n) return result;
    chosen = kept;
  }
};
