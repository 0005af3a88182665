import { createFourier, type Fourier, forward, inverse } from './fft.ts';

/** By how much the content of one picture lies right of and below that of another, in pixels. */
export interface Shift {
  readonly dx: number;
  readonly dy: number;
  /** Height of the peak: 1 for equal pictures, about 0 for unrelated ones. */
  readonly peak: number;
  /** Height of the peak over the root mean square of the correlation elsewhere: above about 7 no accident. */
  readonly significance: number;
}

/**
 * Width in pixels of the Gaussian that a perfect match leaves as its peak. Wide enough for its neighbours to be sampled
 * well, narrow enough to keep the frequencies that tell stars apart from gas.
 */
const PEAK_WIDTH = 1;
/** Pixels on each side of the peak that belong to it. */
const PEAK_REACH = 3;
/** Products of spectra this far below the total power hold rounding, no phase. */
const NEGLIGIBLE = 1e-14;

export interface Correlator {
  readonly fourier: Fourier;
  /** Weight of each frequency along one axis. */
  readonly weights: Float64Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Tables and room for correlating pictures of one size; `size` is a power of two. */
export const createCorrelator = (size: number): Correlator => ({
  fourier: createFourier(size),
  weights: Float64Array.from({ length: size }, (_, k) => {
    const frequency = Math.min(k, size - k) / size;
    return Math.exp(-2 * (Math.PI * PEAK_WIDTH * frequency) ** 2);
  }),
  re: new Float64Array(size * size),
  im: new Float64Array(size * size),
});

/**
 * The shift between two square pictures by phase correlation: the peak of the inverse transform of conj(A)·B/|A·B|
 * (C. D. Kuglin & D. C. Hines, Proc. IEEE Int. Conf. Cybernetics and Society, 163–165, 1975).
 * The phases are weighted by the transform of a Gaussian, so the peak of a pure shift is that Gaussian and its place
 * between pixels follows exactly from the logarithms of three samples along each axis; the unweighted peak of Foroosh,
 * Zerubia & Berthod (IEEE Trans. Image Processing 11(3) 188–200, 2002) lets the noise of high frequencies speak as
 * loudly as stars. The pictures are taken as periodic: taper their edges. All values must be finite.
 * @param reach largest shifts looked for along x and y, in pixels; at most half the side
 * @returns undefined where a picture has no structure at all
 */
export const phaseShift = (
  correlator: Correlator,
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  reach: readonly [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY],
): Shift | undefined => {
  const { fourier, re, im } = correlator;
  re.set(a);
  im.set(b);
  const power = re.length * Math.sqrt(squaresOf(re) * squaresOf(im));
  if (power === 0) return undefined;
  forward(fourier, re, im);
  const total = toPhases(correlator, power * NEGLIGIBLE);
  if (total === 0) return undefined;
  inverse(fourier, re, im);
  for (let i = 0; i < re.length; i++) re[i] = re[i]! / total;
  return findPeak(re, fourier.size, reach);
};

const squaresOf = (values: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]! * values[i]!;
  return sum;
};

/**
 * Two real pictures were transformed as one complex one: A = (Z(k) + conj Z(−k))/2, B = (Z(k) − conj Z(−k))/2i.
 * Replaces Z by the weighted phases of conj(A)·B and returns the sum of their weights.
 */
const toPhases = ({ fourier: { size: n }, weights, re, im }: Correlator, negligible: number): number => {
  let total = 0;
  for (let v = 0; v < n; v++)
    for (let u = 0; u < n; u++) {
      const k = v * n + u;
      const mirror = ((n - v) & (n - 1)) * n + ((n - u) & (n - 1));
      if (mirror < k) continue;
      const aRe = re[k]! + re[mirror]!;
      const aIm = im[k]! - im[mirror]!;
      const bRe = im[k]! + im[mirror]!;
      const bIm = re[mirror]! - re[k]!;
      const crossRe = aRe * bRe + aIm * bIm;
      const crossIm = aRe * bIm - aIm * bRe;
      const size = Math.sqrt(crossRe * crossRe + crossIm * crossIm);
      const weight = size > negligible ? weights[u]! * weights[v]! : 0;
      const factor = weight > 0 ? weight / size : 0;
      total += mirror === k ? weight : 2 * weight;
      re[k] = factor * crossRe;
      im[k] = factor * crossIm;
      re[mirror] = re[k]!;
      im[mirror] = -im[k]!;
    }
  return total;
};

const findPeak = (surface: Float64Array, n: number, reach: readonly [number, number]): Shift => {
  const [farX, farY] = [Math.min(Math.floor(reach[0]), n / 2), Math.min(Math.floor(reach[1]), n / 2)];
  const at = (x: number, y: number) => surface[((y + n) & (n - 1)) * n + ((x + n) & (n - 1))]!;
  let peak = Number.NEGATIVE_INFINITY;
  let [px, py] = [0, 0];
  for (let y = -farY; y <= farY; y++)
    for (let x = -farX; x <= farX; x++) {
      const value = at(x, y);
      if (value <= peak) continue;
      peak = value;
      px = x;
      py = y;
    }
  let own = 0;
  for (let y = -PEAK_REACH; y <= PEAK_REACH; y++)
    for (let x = -PEAK_REACH; x <= PEAK_REACH; x++) own += at(px + x, py + y) ** 2;
  const others = surface.length - (2 * PEAK_REACH + 1) ** 2;
  const elsewhere = Math.sqrt(Math.max(0, squaresOf(surface) - own) / others);
  return {
    dx: px + between(at(px - 1, py), peak, at(px + 1, py)),
    dy: py + between(at(px, py - 1), peak, at(px, py + 1)),
    peak,
    significance: elsewhere > 0 ? peak / elsewhere : Number.POSITIVE_INFINITY,
  };
};

/** Where the top of a Gaussian lies, from its largest sample and the samples beside it; −0.5…0.5. */
const between = (before: number, top: number, after: number): number => {
  const [l, c, r] = before > 0 && after > 0 ? [Math.log(before), Math.log(top), Math.log(after)] : [before, top, after];
  const bend = l - 2 * c + r;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (l - r) / (2 * bend))) : 0;
};
