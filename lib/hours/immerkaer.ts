import type { Samples } from '../plane/plane.ts';

/** A rectangle of a picture held by rows. */
export interface Cell {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/**
 * Noise of a cell from the difference of two Laplacians, which any plane passes without a trace:
 * σ = √(π/2) / (6·n) · Σ |I ∗ (1 −2 1; −2 4 −2; 1 −2 1)| over the n places where the mask fits.
 * `step` spreads the mask to every step-th pixel: noise between neighbours that go together shows only there.
 * `stride` is the width of `data`. NaN where a value of the cell is not finite or the mask does not fit.
 * Source: J. Immerkær, Fast noise variance estimation, CVIU 64(2) 300–302, 1996 (step 1).
 */
export const immerkaer = (data: Samples, stride: number, cell: Cell, step = 1): number => {
  const across = cell.width - 2 * step;
  const down = cell.height - 2 * step;
  if (across < 1 || down < 1) return Number.NaN;
  let sum = 0;
  for (let y = cell.y + step; y < cell.y + step + down; y++) {
    const row = y * stride;
    const above = row - step * stride;
    const below = row + step * stride;
    for (let x = cell.x + step; x < cell.x + step + across; x++) {
      const edges = data[row + x - step]! + data[row + x + step]! + data[above + x]! + data[below + x]!;
      const corners =
        data[above + x - step]! + data[above + x + step]! + data[below + x - step]! + data[below + x + step]!;
      sum += Math.abs(4 * data[row + x]! - 2 * edges + corners);
    }
  }
  const noise = (Math.sqrt(Math.PI / 2) * sum) / (6 * across * down);
  return Number.isFinite(noise) ? noise : Number.NaN;
};
