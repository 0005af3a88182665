import type { Scratch } from '../../plane/scratch.ts';
import type { Laid } from './orient.ts';

/**
 * Sums along all lines of a plane that run down pieces of `rows` rows and move to the right by 0 … rows − 1 places on the way.
 * The sum of piece p, shift s and start x is `sums[(p · rows + s) · stride + pad + x]`; x starts at −s, and values before that
 * place are not set.
 */
export interface LineSums {
  readonly rows: number;
  readonly pieces: number;
  readonly stride: number;
  readonly pad: number;
  readonly sums: Float32Array;
}

/**
 * The fast discrete Radon transform, rows joined two by two (Brady 1998, SIAM J. Comput. 27:107), which yields the sums of pieces of
 * 1, 2, 4 … `most` rows. The arrays are used again: keep nothing of one step in the next.
 * @param most a power of two
 * @param name of the memory that is used
 */
export function* lineSums(
  { width, height, values }: Laid,
  most: number,
  scratch: Scratch,
  name: string,
): Generator<LineSums> {
  const stride = width + most;
  let pieces = height;
  // Pieces that reach beyond the lower edge have all their shifts.
  let sums = scratch.floats(`${name} sums`, (height + most) * stride);
  let next = scratch.floats(`${name} next`, sums.length);
  for (let y = 0; y < height; y++) sums.set(values.subarray(y * width, (y + 1) * width), y * stride + most);
  for (let rows = 1; ; rows *= 2) {
    yield { rows, pieces, stride, pad: most, sums };
    if (rows === most) return;
    joinPieces({ rows, pieces, stride, pad: most, sums }, next);
    pieces = Math.ceil(pieces / 2);
    [sums, next] = [next, sums];
  }
}

/** Joins pieces two by two: the upper one, and the lower one where a line through the upper one meets it. */
const joinPieces = ({ rows, pieces, stride, pad, sums }: LineSums, into: Float32Array): void => {
  for (let piece = 0; piece < pieces; piece += 2)
    for (let shift = 0; shift < 2 * rows; shift++) {
      const half = shift >> 1;
      const step = shift - half;
      const upper = (piece * rows + half) * stride;
      const lower = ((piece + 1) * rows + half) * stride + step;
      const target = (piece * rows + shift) * stride;
      const [first, inside] = [pad - shift, pad - half];
      if (piece + 1 === pieces) {
        into.fill(0, target + first, target + inside);
        into.set(sums.subarray(upper + inside, upper + stride), target + inside);
        continue;
      }
      // Left of the upper piece a line has only its lower part, right of the lower piece only its upper part.
      const end = stride - step;
      for (let x = first; x < inside; x++) into[target + x] = sums[lower + x]!;
      for (let x = inside; x < end; x++) into[target + x] = sums[upper + x]! + sums[lower + x]!;
      for (let x = Math.max(inside, end); x < stride; x++) into[target + x] = sums[upper + x]!;
    }
};
