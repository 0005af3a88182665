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

/** Lays a plane: as it is, mirrored, with rows and columns exchanged, and both. */
export const lay = (plane: Float32Array, { width, height }: Size, quadrant: number): Laid => {
  const turned = isTurned(quadrant);
  const [across, down] = turned ? [height, width] : [width, height];
  const values = new Float32Array(plane.length);
  for (let y = 0, i = 0; y < down; y++)
    for (let x = 0; x < across; x++, i++) {
      const u = isMirrored(quadrant) ? across - 1 - x : x;
      values[i] = plane[turned ? u * width + y : y * width + u]!;
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
