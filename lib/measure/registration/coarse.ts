import type { PlaneSource } from '../../plane/plane.ts';
import { eachStrip, type StripOptions } from '../../plane/strips.ts';
import { featureFinder } from './features.ts';
import { type Fourier, forward } from './fft.ts';
import { type Correlator, createCorrelator, phaseShift } from './phase-correlation.ts';
import { mapPoint, type Similarity, similarity } from './similarity.ts';

/** Side of the square in which shrunk pictures are compared. */
const SIDE = 512;
/** Largest change of scale looked for. */
const MAX_SCALE = 1.25;
/** Circles of the spectrum compared, as shares of the highest frequency. */
const [INNER, OUTER] = [1 / 16, 0.8];

/**
 * A rough similarity between two pictures that are turned, scaled or shifted by any amount, from shrunk copies of their
 * features: angle and scale from the log-polar magnitudes of the spectra, which do not know of shifts, then the shift
 * by phase correlation (B. S. Reddy & B. N. Chatterji, IEEE Trans. Image Processing 5(8) 1266–1271, 1996).
 * Reads both pictures once; keeps 512 × 512 pixels.
 * @returns undefined where nothing stands out
 */
export const coarseSimilarity = async (
  reference: PlaneSource,
  channel: PlaneSource,
  centre: { readonly cx: number; readonly cy: number },
  significance: number,
  options: StripOptions = {},
): Promise<Similarity | undefined> => {
  const longest = Math.max(reference.width, reference.height, channel.width, channel.height);
  const factor = Math.ceil(longest / SIDE);
  const a = await shrunkFeatures(reference, factor, options);
  const b = await shrunkFeatures(channel, factor, options);
  if (a === undefined || b === undefined) return undefined;
  const correlator = createCorrelator(SIDE);
  // Block k covers the pixels from k·factor on, so its centre lies at k·factor + (factor − 1)/2.
  const small = { cx: (centre.cx - (factor - 1) / 2) / factor, cy: (centre.cy - (factor - 1) / 2) / factor };
  let best: Similarity | undefined;
  let most = significance;
  for (const turn of turnsToTry(correlator, a, b, small)) {
    const found = phaseShift(correlator, a, turned(b, turn));
    if (found === undefined || found.significance <= most) continue;
    most = found.significance;
    const dx = turn.a * found.dx - turn.b * found.dy;
    const dy = turn.b * found.dx + turn.a * found.dy;
    best = { ...turn, ...centre, dx: dx * factor, dy: dy * factor };
  }
  return best;
};

/** The features of a picture shrunk by block means, in the upper left of an empty square. */
const shrunkFeatures = async (source: PlaneSource, factor: number, options: StripOptions) => {
  const width = Math.floor(source.width / factor);
  const height = Math.floor(source.height / factor);
  const sums = new Float64Array(width * height);
  const counts = new Uint16Array(width * height);
  const add = (data: ArrayLike<number>, top: number, rows: number) => {
    for (let r = 0; r < rows; r++) {
      const row = Math.floor((top + r) / factor);
      if (row >= height) return;
      for (let x = 0; x < width * factor; x++) {
        const v = data[r * source.width + x]!;
        if (v - v !== 0) continue;
        const at = row * width + Math.floor(x / factor);
        sums[at]! += v;
        counts[at]!++;
      }
    }
  };
  await eachStrip(source, add, options);
  const features = featureFinder({ width, height })(sums.map((sum, i) => sum / counts[i]!));
  if (features === undefined) return undefined;
  const square = new Float64Array(SIDE * SIDE);
  for (let y = 0; y < height; y++) square.set(features.subarray(y * width, (y + 1) * width), y * SIDE);
  return square;
};

/** No turn, and what the spectra say: an angle is found but for half a turn, a scale may be accident. */
const turnsToTry = (
  correlator: Correlator,
  a: Float64Array,
  b: Float64Array,
  centre: { readonly cx: number; readonly cy: number },
): Similarity[] => {
  const { fourier } = correlator;
  const logStep = Math.log(OUTER / INNER) / SIDE;
  const reach = [Math.log(MAX_SCALE) / logStep, SIDE / 2] as const;
  const found = phaseShift(correlator, logPolar(fourier, a), logPolar(fourier, b), reach);
  const still = similarity(centre);
  if (found === undefined) return [still];
  const angle = (found.dy * 180) / SIDE;
  const scale = Math.exp(-found.dx * logStep);
  return [still, ...[angle, angle + 180].flatMap((t) => [1, scale].map((s) => similarity(centre, 0, 0, t, s)))];
};

/** Magnitudes of the spectrum over angles 0…180° (rows, periodic) and logarithms of frequency (columns, tapered). */
const logPolar = (fourier: Fourier, picture: Float64Array): Float64Array => {
  const n = fourier.size;
  const re = Float64Array.from(picture);
  const im = new Float64Array(n * n);
  forward(fourier, re, im);
  const size = re.map((r, i) => Math.log1p(Math.sqrt(r * r + im[i]! * im[i]!)));
  const result = new Float64Array(n * n);
  const mean = new Float64Array(n);
  for (let row = 0; row < n; row++) {
    const angle = (Math.PI * row) / n;
    for (let k = 0; k < n; k++) {
      const radius = (n / 2) * INNER * (OUTER / INNER) ** (k / n);
      // The spectrum lies transposed: its rows are the frequencies in x.
      const value = wrappedAt(size, n, radius * Math.sin(angle), radius * Math.cos(angle));
      result[row * n + k] = value;
      mean[k]! += value / n;
    }
  }
  const taper = (k: number) => Math.sin((Math.PI * (k + 0.5)) / n) ** 2;
  return result.map((value, i) => (value - mean[i % n]!) * taper(i % n));
};

/** Bilinear value of a periodic square. */
const wrappedAt = (values: Float64Array, n: number, x: number, y: number): number => {
  const [left, above] = [Math.floor(x), Math.floor(y)];
  const [s, t] = [x - left, y - above];
  const at = (u: number, v: number) => values[((v + n) % n) * n + ((u + n) % n)]!;
  const upper = (1 - s) * at(left, above) + s * at(left + 1, above);
  const lower = (1 - s) * at(left, above + 1) + s * at(left + 1, above + 1);
  return (1 - t) * upper + t * lower;
};

/** The picture as seen through a turn: value at p is that of the picture at turn(p); 0 outside. */
const turned = (picture: Float64Array, turn: Similarity): Float64Array => {
  if (turn.a === 1 && turn.b === 0) return picture;
  const result = new Float64Array(SIDE * SIDE);
  for (let y = 0, i = 0; y < SIDE; y++)
    for (let x = 0; x < SIDE; x++, i++) {
      const [u, v] = mapPoint(turn, x, y);
      if (u >= 0 && v >= 0 && u < SIDE - 1 && v < SIDE - 1) result[i] = wrappedAt(picture, SIDE, u, v);
    }
  return result;
};
