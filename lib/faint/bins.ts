import type { Samples } from '../plane/plane.ts';

/** Sums of a frame over squares of pixels, row by row; the squares at the right and the lower edge may hang over. */
export interface Bins {
  /** Side of a square in pixels, a power of two. */
  readonly size: number;
  readonly width: number;
  readonly height: number;
  /** Sum of the values that count. */
  readonly sums: Float32Array;
  /** How many pixels count, and how many have data, masked or not. */
  readonly counts: Uint16Array;
  readonly covered: Uint16Array;
}

/** Side of the first bins. */
export const FIRST_SIZE = 2;

export const emptyBins = (width: number, height: number, size = FIRST_SIZE): Bins => {
  const [across, down] = [Math.ceil(width / size), Math.ceil(height / size)];
  return {
    size,
    width: across,
    height: down,
    sums: new Float32Array(across * down),
    counts: new Uint16Array(across * down),
    covered: new Uint16Array(across * down),
  };
};

/**
 * Adds rows of a frame to its first bins. NaN and infinite values are no data.
 * @param data rows [y, y + rows) of the frame, y even; `level` is subtracted so that sums stay small
 */
export const addRows = (bins: Bins, data: Samples, width: number, y: number, rows: number, level: number): void => {
  const { size, sums, counts, covered } = bins;
  for (let r = 0; r < rows; r++) {
    const start = Math.floor((y + r) / size) * bins.width;
    for (let x = 0, i = r * width; x < width; x++, i++) {
      const value = data[i]! - level;
      if (value - value !== 0) continue;
      const at = start + (x >> 1);
      sums[at]! += value;
      counts[at]!++;
      covered[at]!++;
    }
  }
};

/** Bins of twice the side. */
export const halved = (bins: Bins): Bins => {
  const { width, height, sums, counts, covered } = bins;
  const half = emptyBins(width, height, 2);
  for (let y = 0, i = 0; y < height; y++) {
    const start = (y >> 1) * half.width;
    for (let x = 0; x < width; x++, i++) {
      const at = start + (x >> 1);
      half.sums[at]! += sums[i]!;
      half.counts[at]! += counts[i]!;
      half.covered[at]! += covered[i]!;
    }
  }
  return { ...half, size: 2 * bins.size };
};
