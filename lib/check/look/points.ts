import type { CheckSizes } from '../sizes.ts';
import { createLights, wideLight } from './point-light.ts';
import { indexIn, type LineRows } from './rows.ts';
import { type Tiles, tileRow } from './stretches.ts';

/** A pixel that stands out less than this above those so far from it, in units of the noise, has no point's light. */
const STANDS_OUT = 4;
const APART = 3;
/** Points whose light is less than this, over its spread, are not kept. */
export const LEAST_LIGHT = 5;
/** A point is the brightest of the pixels so far around it. */
const AROUND = 2;
/** So many pixels around a point must be defined. */
const DEFINED = 3;

/** A bright point of one line, and what all lines have there. */
export interface PointFound {
  readonly x: number;
  readonly y: number;
  /** Which of the lines it was found in. */
  readonly line: number;
  /** Its light seen by a wider difference, over that seen by the fine one: large where it is no point. */
  readonly size: number;
  /** The pixel less what lies around it, in counts. */
  readonly height: number;
  /** Light of a point here in each line. */
  readonly light: readonly number[];
  /** The most light of a point in 3 × 3 pixels, in each line. */
  readonly most: readonly number[];
}

/** Noise of a line's pixels, and spread of its light of points, in tiles. */
export interface PointNoise {
  readonly noise: Tiles;
  readonly spread: Tiles;
}

/** A line, and the light of points in it. */
interface LitRows {
  readonly rows: LineRows;
  lightAt(x: number, y: number): number;
}

/** Finds the bright points of each line in the rows that are looked at, line by line. */
export const findPoints = (
  lines: readonly LineRows[],
  noises: readonly PointNoise[],
  sizes: CheckSizes,
): PointFound[] => {
  const { width } = sizes;
  const found: PointFound[][] = lines.map(() => []);
  const places: number[] = [];
  const [noise, spread] = [new Float32Array(width), new Float32Array(width)];
  const lit = lines.map((rows): LitRows => {
    const light = createLights(width);
    return { rows, lightAt: (x, y) => light(rows, x, y) };
  });
  const [{ top, bottom }] = lines as readonly [LineRows, ...LineRows[]];
  // All lines row by row: what is worked out for one is used for the others.
  for (let y = top; y < bottom; y++)
    for (const [k, { rows, lightAt }] of lit.entries()) {
      tileRow(noises[k]!.noise, sizes, y - top, noise);
      places.length = 0;
      standingOut(rows, y, noise, places);
      if (places.length === 0) continue;
      tileRow(noises[k]!.spread, sizes, y - top, spread);
      for (const x of places) {
        const light = lightAt(x, y);
        if (light > LEAST_LIGHT * spread[x]! && isPeak(lit[k]!, x, y, light) && isWhole(lines, x, y))
          found[k]!.push(pointAt(lit, k, x, y, light));
      }
    }
  return found.flat();
};

/** Columns of a row whose pixels stand out above those around them. */
const standingOut = (rows: LineRows, y: number, noise: Float32Array, into: number[]): void => {
  const { width, data } = rows;
  const start = indexIn(rows, 0, y);
  const step = APART * width;
  for (let x = APART; x < width - APART; x++) {
    const i = start + x;
    const around = (data[i - APART]! + data[i + APART]! + data[i - step]! + data[i + step]!) / 4;
    if (data[i]! - around > STANDS_OUT * noise[x]!) into.push(x);
  }
};

/** A pixel less the mean of those above, below, left and right of it, some pixels away. */
const heightAt = (rows: LineRows, x: number, y: number): number => {
  const { width, data } = rows;
  const i = indexIn(rows, x, y);
  const step = APART * width;
  return data[i]! - (data[i - APART]! + data[i + APART]! + data[i - step]! + data[i + step]!) / 4;
};

/** What lies around a point, nearest first: on the flank of a star one of the nearest is brighter. */
const NEIGHBOURS = (() => {
  const steps = Array.from({ length: 2 * AROUND + 1 }, (_, i) => i - AROUND);
  return steps
    .flatMap((dy) => steps.map((dx) => [dx, dy] as const))
    .filter(([dx, dy]) => dx !== 0 || dy !== 0)
    .sort(([a, b], [c, d]) => Math.hypot(a, b) - Math.hypot(c, d));
})();

const isPeak = ({ lightAt }: LitRows, x: number, y: number, light: number): boolean =>
  !NEIGHBOURS.some(([dx, dy]) => lightAt(x + dx, y + dy) > light);

/** Whether all lines are defined around a place. */
const isWhole = (lines: readonly LineRows[], x: number, y: number): boolean =>
  lines.every((rows) => {
    for (let dy = -DEFINED; dy <= DEFINED; dy++)
      for (let dx = -DEFINED; dx <= DEFINED; dx++) {
        if (Number.isNaN(rows.data[indexIn(rows, x + dx, y + dy)]!)) return false;
      }
    return true;
  });

const pointAt = (lines: readonly LitRows[], line: number, x: number, y: number, light: number): PointFound => ({
  x,
  y,
  line,
  height: heightAt(lines[line]!.rows, x, y),
  size: wideLight(lines[line]!.rows, x, y) / light,
  light: lines.map(({ lightAt }) => lightAt(x, y)),
  most: lines.map(({ lightAt }) => {
    let most = Number.NEGATIVE_INFINITY;
    for (let dy = -1; dy <= 1; dy++) for (let dx = -1; dx <= 1; dx++) most = Math.max(most, lightAt(x + dx, y + dy));
    return most;
  }),
});
