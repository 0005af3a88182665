import { createFourier, forward } from '../measure/registration/fft.ts';
import type { Place } from './place.ts';

/** Power of square cells by frequency u across and v down, each of 0…side−1 in 1/side: bin u · side + v, u up to side/2. */
export interface PowerShape {
  readonly side: number;
  /** Frequency of each bin, in cycles a pixel. */
  readonly frequency: Float64Array;
  /** How many bins of the whole plane each stands for: power at −f is that at f. */
  readonly stands: Float64Array;
}

export const powerShape = (side: number): PowerShape => {
  const bins = Array.from({ length: (side / 2 + 1) * side }, (_, i) => ({
    u: Math.floor(i / side),
    v: i % side,
  }));
  return {
    side,
    frequency: Float64Array.from(bins, ({ u, v }) => Math.hypot(u, Math.min(v, side - v)) / side),
    stands: Float64Array.from(bins, ({ u }) => (u === 0 || u === side / 2 ? 1 : 2)),
  };
};

/** A Hann window, sampled at pixel centres: what lies beyond a cell's edges then hardly leaks into other frequencies. */
export const windowOf = (side: number): Float64Array =>
  Float64Array.from({ length: side }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / side) ** 2);

/** Laplacians beyond so many of their standard deviations are stars; all within two pixels is masked with them. */
const STANDS_OUT = 4.5;
const AROUND = 2;
const MOST_MASKED = 0.5;

/**
 * Makes a function that gives the power of cells of side × side pixels, scaled so that independent noise of deviation σ
 * has σ² at every frequency on average. Stars are masked, a plane is taken off. `side` is a power of two.
 * Undefined where stars leave less than half of the cell. The same array is returned every time.
 * Source: M. S. Bartlett, Smoothing periodograms from time series with continuous spectra, Nature 161, 686, 1948.
 */
export const powerOfCells = (side: number): ((place: Place) => Float64Array | undefined) => {
  const hann = windowOf(side);
  const fourier = createFourier(side);
  const [re, im] = [new Float64Array(side * side), new Float64Array(side * side)];
  const power = new Float64Array((side / 2 + 1) * side);
  return (place) => {
    const { pixels: cell, fine } = place;
    const open = withoutStars(cell, fine, side);
    const count = open.reduce((sum, v) => sum + v, 0);
    if (count < MOST_MASKED * open.length) return undefined;
    const [mean, across, down] = planeThrough(cell, open, side);
    let weight = 0;
    for (let i = 0, y = 0; y < side; y++)
      for (let x = 0; x < side; x++, i++) {
        const w = open[i]! * hann[x]! * hann[y]!;
        weight += w * w;
        re[i] = w * (cell[i]! - mean - across * x - down * y);
      }
    im.fill(0);
    forward(fourier, re, im);
    for (let i = 0; i < power.length; i++) power[i] = (re[i]! * re[i]! + im[i]! * im[i]!) / weight;
    return power;
  };
};

/** 1 where a pixel counts, 0 near what stands out of its neighbours. */
const withoutStars = (pixels: Float32Array, fine: number, side: number): Uint8Array => {
  const limit = STANDS_OUT * 6 * fine;
  const open = new Uint8Array(side * side).fill(1);
  for (let y = 1; y < side - 1; y++)
    for (let x = 1; x < side - 1; x++) {
      const i = y * side + x;
      const [above, below] = [i - side, i + side];
      const edges = pixels[i - 1]! + pixels[i + 1]! + pixels[above]! + pixels[below]!;
      const corners = pixels[above - 1]! + pixels[above + 1]! + pixels[below - 1]! + pixels[below + 1]!;
      if (!(Math.abs(4 * pixels[i]! - 2 * edges + corners) > limit)) continue;
      for (let r = Math.max(0, y - AROUND); r <= Math.min(side - 1, y + AROUND); r++)
        open.fill(0, r * side + Math.max(0, x - AROUND), r * side + Math.min(side, x + AROUND + 1));
    }
  return open;
};

/** The plane a + b·x + c·y that fits the open pixels best, by the normal equations about their centre. */
const planeThrough = (cell: Float32Array, open: Uint8Array, side: number): [number, number, number] => {
  let [n, sx, sy, sv] = [0, 0, 0, 0];
  let [xx, xy, yy, xv, yv] = [0, 0, 0, 0, 0];
  for (let i = 0, y = 0; y < side; y++)
    for (let x = 0; x < side; x++, i++) {
      if (open[i] === 0) continue;
      const v = cell[i]!;
      n++;
      sx += x;
      sy += y;
      sv += v;
      xx += x * x;
      xy += x * y;
      yy += y * y;
      xv += x * v;
      yv += y * v;
    }
  [xx, xy, yy] = [xx - (sx * sx) / n, xy - (sx * sy) / n, yy - (sy * sy) / n];
  [xv, yv] = [xv - (sx * sv) / n, yv - (sy * sv) / n];
  const det = xx * yy - xy * xy;
  const [across, down] = det > 0 ? [(xv * yy - yv * xy) / det, (yv * xx - xv * xy) / det] : [0, 0];
  return [(sv - across * sx - down * sy) / n, across, down];
};
