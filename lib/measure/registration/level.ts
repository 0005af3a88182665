import type { Matrix4 } from './four.ts';
import type { Look } from './look.ts';
import type { Centre, Similarity } from './similarity.ts';

/** Block k of a picture shrunk by `factor` covers the pixels from k·factor on: its centre lies at k·factor + this. */
const middleOf = (factor: number): number => (factor - 1) / 2;

export const centreAt = (factor: number, { cx, cy }: Centre): Centre => ({
  cx: (cx - middleOf(factor)) / factor,
  cy: (cy - middleOf(factor)) / factor,
});

/** A map between full pictures as one between pictures shrunk by `factor`. */
export const mapAt = (factor: number, map: Similarity): Similarity => ({
  ...map,
  ...centreAt(factor, map),
  dx: map.dx / factor,
  dy: map.dy / factor,
});

/** A map between pictures shrunk by `factor` as one between full ones, whose centre is given. */
export const mapAtFull = (factor: number, map: Similarity, { cx, cy }: Centre): Similarity => ({
  ...map,
  cx,
  cy,
  dx: map.dx * factor,
  dy: map.dy * factor,
});

/** A look at pictures shrunk by `factor` in pixels of the full ones, whose centre is given. */
export const lookAtFull = (factor: number, look: Look, centre: Centre): Look => ({
  ...look,
  scale: look.scale * factor,
  map: mapAtFull(factor, look.map, centre),
  covariance: scaled(look.covariance, [factor, factor, 1, 1]),
  scatter: look.scatter * factor,
  tiles: look.tiles.map(({ x, y, side, dx, dy, weight }) => ({
    x: x * factor,
    y: y * factor,
    side: side * factor,
    dx: dx * factor,
    dy: dy * factor,
    weight,
  })),
});

const scaled = (matrix: Matrix4, unit: readonly number[]): Matrix4 =>
  matrix.map((row, i) => row.map((v, k) => v * unit[i]! * unit[k]!));
