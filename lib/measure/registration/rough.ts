import type { Feature } from './features.ts';
import { type Fourier, forward } from './fft.ts';
import { type Correlator, createCorrelator, phaseShift } from './phase-correlation.ts';
import type { Picture } from './picture.ts';
import { type Centre, mapPoint, type Similarity, similarity } from './similarity.ts';

/** Sides of the square in which pictures are compared. */
const [LEAST_SIDE, MOST_SIDE] = [128, 512];
/** A peak less significant than this may be an accident. */
const SIGNIFICANT = 7;
/** Largest change of scale looked for. */
const MAX_SCALE = 1.25;
/** Circles of the spectrum compared, as shares of the highest frequency. */
const [INNER, OUTER] = [1 / 16, 0.8];

/**
 * A rough similarity between two pictures that are turned, scaled or shifted by any amount, from the stars and knots in
 * them: angle and scale from the log-polar magnitudes of the spectra, which do not know of shifts, then the shift by
 * phase correlation (B. S. Reddy & B. N. Chatterji, IEEE Trans. Image Processing 5(8) 1266–1271, 1996). It is a guess to
 * be looked at, no answer.
 * @returns undefined where nothing stands out
 */
export const roughSimilarity = (a: Feature, b: Feature, centre: Centre): Similarity | undefined => {
  const longest = Math.max(a.width, a.height, b.width, b.height);
  const side = Math.max(LEAST_SIDE, 2 ** Math.ceil(Math.log2(longest)));
  if (side > MOST_SIDE) return undefined;
  const correlator = createCorrelator(side);
  const [one, other] = [squareOf(a, side), squareOf(b, side)];
  let best: Similarity | undefined;
  let most = SIGNIFICANT;
  for (const turn of turnsToTry(correlator, one, other, centre)) {
    const found = phaseShift(correlator, one, turned(other, side, turn));
    if (found === undefined || found.significance <= most) continue;
    most = found.significance;
    const dx = turn.a * found.dx - turn.b * found.dy;
    const dy = turn.b * found.dx + turn.a * found.dy;
    best = { ...turn, dx, dy };
  }
  return best;
};

/** The picture as seen through a map, the size of the reference: value at p is that at map(p), NaN outside. */
export const seenThrough = (picture: Picture, map: Similarity, width: number, height: number): Picture => {
  const values = new Float32Array(width * height);
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const [u, v] = mapPoint(map, x, y);
      const inside = u >= 0 && v >= 0 && u < picture.width - 1 && v < picture.height - 1;
      values[i] = inside ? bilinear(picture.values, picture.width, u, v) : Number.NaN;
    }
  return { width, height, values };
};

const bilinear = (values: Float32Array, width: number, x: number, y: number): number => {
  const [left, above] = [Math.floor(x), Math.floor(y)];
  const [s, t] = [x - left, y - above];
  const at = above * width + left;
  const upper = (1 - s) * values[at]! + s * values[at + 1]!;
  const lower = (1 - s) * values[at + width]! + s * values[at + width + 1]!;
  return (1 - t) * upper + t * lower;
};

/** A feature in the upper left of an empty square, its edges tapered so that they make no features of their own. */
const squareOf = ({ width, height, values }: Feature, side: number): Float64Array => {
  const square = new Float64Array(side * side);
  const [across, down] = [taperOf(width), taperOf(height)];
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) square[y * side + x] = across[x]! * down[y]! * values[y * width + x]!;
  return square;
};

/** Rises from 0 to 1 over an eighth of the length as a cosine. */
const taperOf = (n: number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => {
    const inside = Math.min(i + 0.5, n - i - 0.5) / (n / 8);
    return inside < 1 ? 0.5 - 0.5 * Math.cos(Math.PI * inside) : 1;
  });

/** No turn, and what the spectra say: an angle is found but for half a turn, a scale may be accident. */
const turnsToTry = (correlator: Correlator, a: Float64Array, b: Float64Array, centre: Centre): Similarity[] => {
  const { fourier } = correlator;
  const { size } = fourier;
  const logStep = Math.log(OUTER / INNER) / size;
  const reach = [Math.log(MAX_SCALE) / logStep, size / 2] as const;
  const found = phaseShift(correlator, ...logPolars(fourier, a, b), reach);
  const still = similarity(centre);
  if (found === undefined) return [still];
  const angle = (found.dy * 180) / size;
  const scale = Math.exp(-found.dx * logStep);
  return [still, ...[angle, angle + 180].flatMap((t) => [1, scale].map((s) => similarity(centre, 0, 0, t, s)))];
};

/**
 * Magnitudes of two spectra over angles 0…180° (rows, periodic) and logarithms of frequency (columns, tapered). Both
 * pictures are transformed as one complex one: A = (Z(k) + conj Z(−k))/2, B = (Z(k) − conj Z(−k))/2i.
 */
const logPolars = (fourier: Fourier, a: Float64Array, b: Float64Array): [Float64Array, Float64Array] => {
  const n = fourier.size;
  const [re, im] = [a.slice(), b.slice()];
  forward(fourier, re, im);
  for (let v = 0; v < n; v++)
    for (let u = 0; u < n; u++) {
      const k = v * n + u;
      const m = ((n - v) & (n - 1)) * n + ((n - u) & (n - 1));
      if (m < k) continue;
      const one = Math.log1p(size(re[k]! + re[m]!, im[k]! - im[m]!) / 2);
      const other = Math.log1p(size(im[k]! + im[m]!, re[m]! - re[k]!) / 2);
      re[k] = one;
      re[m] = one;
      im[k] = other;
      im[m] = other;
    }
  return [logPolar(re, n), logPolar(im, n)];
};

const size = (re: number, im: number): number => Math.sqrt(re * re + im * im);

const logPolar = (magnitudes: Float64Array, n: number): Float64Array => {
  const radii = Float64Array.from({ length: n }, (_, k) => (n / 2) * INNER * (OUTER / INNER) ** (k / n));
  const result = new Float64Array(n * n);
  const mean = new Float64Array(n);
  for (let row = 0; row < n; row++) {
    const angle = (Math.PI * row) / n;
    const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
    for (let k = 0; k < n; k++) {
      // The spectrum lies transposed: its rows are the frequencies in x.
      const value = wrappedAt(magnitudes, n, radii[k]! * sine, radii[k]! * cosine);
      result[row * n + k] = value;
      mean[k] = mean[k]! + value / n;
    }
  }
  const taper = Float64Array.from({ length: n }, (_, k) => Math.sin((Math.PI * (k + 0.5)) / n) ** 2);
  for (let row = 0, i = 0; row < n; row++)
    for (let k = 0; k < n; k++, i++) result[i] = (result[i]! - mean[k]!) * taper[k]!;
  return result;
};

/** Bilinear value of a periodic square whose side is a power of two. */
const wrappedAt = (values: Float64Array, n: number, x: number, y: number): number => {
  const left = Math.floor(x);
  const above = Math.floor(y);
  const s = x - left;
  const t = y - above;
  const column = left & (n - 1);
  const next = (left + 1) & (n - 1);
  const row = (above & (n - 1)) * n;
  const below = ((above + 1) & (n - 1)) * n;
  const upper = (1 - s) * values[row + column]! + s * values[row + next]!;
  const lower = (1 - s) * values[below + column]! + s * values[below + next]!;
  return (1 - t) * upper + t * lower;
};

/** The picture as seen through a turn: value at p is that of the picture at turn(p); 0 outside. */
const turned = (picture: Float64Array, side: number, turn: Similarity): Float64Array => {
  if (turn.a === 1 && turn.b === 0) return picture;
  const result = new Float64Array(side * side);
  for (let y = 0, i = 0; y < side; y++) {
    let [u, v] = mapPoint(turn, 0, y);
    for (let x = 0; x < side; x++, i++, u += turn.a, v += turn.b)
      if (u >= 0 && v >= 0 && u < side - 1 && v < side - 1) result[i] = wrappedAt(picture, side, u, v);
  }
  return result;
};
