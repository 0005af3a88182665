import type { Size } from '../planes/blur.ts';

/** A straight line between two places. */
export interface Segment {
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
}

/** The four ways a plane is laid so that lines run down it, by up to one place to the right a row. */
export const QUADRANTS = 4;

/** A plane laid in one of the four ways. */
export interface Laid extends Size {
  readonly values: Float32Array;
}

const isTurned = (quadrant: number): boolean => quadrant >= 2;
const isMirrored = (quadrant: number): boolean => quadrant % 2 === 1;

/** Rows that are laid together where rows and columns are exchanged: few enough for them to stay near. */
const TOGETHER = 32;

/** Lays a plane: as it is, mirrored, with rows and columns exchanged, and both. */
export const lay = (plane: Float32Array, { width, height }: Size, quadrant: number): Laid => {
  const [across, down] = isTurned(quadrant) ? [height, width] : [width, height];
  const values = new Float32Array(plane.length);
  const [first, step] = isMirrored(quadrant) ? [across - 1, -1] : [0, 1];
  if (!isTurned(quadrant)) {
    for (let y = 0, i = 0; y < down; y++)
      for (let x = 0, u = y * width + first; x < across; x++, u += step) values[i++] = plane[u]!;
    return { width: across, height: down, values };
  }
  for (let top = 0; top < down; top += TOGETHER) {
    const bottom = Math.min(down, top + TOGETHER);
    for (let x = 0, u = first; x < across; x++, u += step)
      for (let y = top; y < bottom; y++) values[y * across + x] = plane[u * width + y]!;
  }
  return { width: across, height: down, values };
};

/** Where a line of a laid plane is in the plane as it was. */
export const unlay = ({ from, to }: Segment, { width }: Pick<Laid, 'width'>, quadrant: number): Segment => {
  const back = ([x, y]: Segment['from']): Segment['from'] => {
    const u = isMirrored(quadrant) ? width - 1 - x : x;
    return isTurned(quadrant) ? [y, u] : [u, y];
  };
  return { from: back(from), to: back(to) };
};
