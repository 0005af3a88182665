import type { CheckSizes } from '../sizes.ts';
import { indexIn, type LineRows } from './rows.ts';

/** Share of the pixels under a small pixel that must be defined. */
const COVERED = 0.99;

/** Means of squares of `bin` pixels, row by row; NaN where pixels are missing. */
export const binRows = (rows: LineRows, { bin }: Pick<CheckSizes, 'bin'>): Float32Array => {
  const { width, top, bottom, data } = rows;
  const across = Math.floor(width / bin);
  const down = Math.floor((bottom - top) / bin);
  const binned = new Float32Array(across * down);
  const sums = new Float64Array(across);
  const counts = new Uint32Array(across);
  for (let r = 0; r < down; r++) {
    sums.fill(0);
    counts.fill(0);
    for (let y = 0; y < bin; y++) {
      let i = indexIn(rows, 0, top + r * bin + y);
      for (let c = 0; c < across; c++)
        for (let x = 0; x < bin; x++, i++) {
          const value = data[i]!;
          if (!Number.isNaN(value)) {
            sums[c]! += value;
            counts[c]!++;
          }
        }
    }
    for (let c = 0; c < across; c++)
      binned[r * across + c] = counts[c]! >= COVERED * bin * bin ? sums[c]! / counts[c]! : Number.NaN;
  }
  return binned;
};
