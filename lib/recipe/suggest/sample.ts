import { clampUnit } from '../../colour/encode.ts';
import { inputError } from '../../plane/errors.ts';
import type { Plane } from '../../plane/plane.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import type { SettledChannel } from '../settle/settled.ts';
import { countedPlaces, starPlaces } from './counted.ts';
import { type Moments, momentsOf } from './moments.ts';

/** What a preview of the masters says of their lines, after the stretch: all values are 0…1 as they will be mixed. */
export interface LineSample extends Moments {
  readonly names: readonly string[];
  /** Standard deviation of each line's pixel noise on the preview. */
  readonly noise: readonly number[];
  /** The same where all lines are dark. */
  readonly skyNoise: readonly number[];
  /** Values of some counted pixels, evenly spread, line by line within a pixel. */
  readonly values: Float64Array;
  /** Values of the brightest pixels of stars, likewise. */
  readonly stars: Float64Array;
}

/** So many pixels are enough to judge a matrix by. */
const MOST_JUDGED = 4000;
const FEWEST = 100;

/**
 * Samples stretched lines on small copies of the prepared masters. Stars, saturated pixels, the border and places
 * without data in any line are left out.
 * @param planes physical values, one picture a channel, all of one size
 * @throws LinewashError 'input' where almost nothing is left
 */
export const sampleLines = (channels: readonly SettledChannel[], planes: readonly Plane[]): LineSample => {
  const { width, height } = planes[0]!;
  const stretched = channels.map((channel, i) => planes[i]!.data.map(stretchOf(channel)));
  const places = countedPlaces(stretched, width, height);
  if (places.length < FEWEST)
    throw inputError(
      `only ${places.length} pixels of the preview show all lines without stars or saturation`,
      'give masters that cover one field',
    );
  const n = channels.length;
  const all = new Float64Array(places.length * n);
  for (const [k, place] of places.entries()) for (let c = 0; c < n; c++) all[k * n + c] = stretched[c]![place]!;
  const stride = Math.ceil(places.length / MOST_JUDGED);
  const judged = Float64Array.from({ length: Math.ceil(places.length / stride) * n }, (_, i) => {
    return all[Math.floor(i / n) * stride * n + (i % n)]!;
  });
  const stars = starPlaces(stretched, width, height);
  const dark = darkPlaces(all, n).map((k) => places[k]!);
  return {
    names: channels.map(({ name }) => name),
    ...momentsOf(all, n),
    noise: stretched.map((values) => pixelNoise(values, width, everyPlace(width, height))),
    skyNoise: stretched.map((values) => pixelNoise(values, width, dark)),
    values: judged,
    stars: Float64Array.from({ length: stars.length * n }, (_, i) => stretched[i % n]![stars[Math.floor(i / n)]!]!),
  };
};

/** The pixels whose lines together are darkest: sky, as far as there is any. */
const DARK = 0.25;

const darkPlaces = (values: Float64Array, n: number): number[] => {
  const sums = Float64Array.from({ length: values.length / n }, (_, k) => {
    let sum = 0;
    for (let c = 0; c < n; c++) sum += values[k * n + c]!;
    return sum;
  });
  const limit = sums.slice().sort()[Math.floor(DARK * sums.length)]!;
  return [...sums.keys()].filter((k) => sums[k]! <= limit);
};

function* everyPlace(width: number, height: number): Iterable<number> {
  for (let y = 1; y < height - 1; y++) for (let x = 1; x < width - 1; x++) yield y * width + x;
}

const stretchOf = ({ background, black, white, stretch: { curve, ...parameters } }: SettledChannel) => {
  const shape = (CURVES[curve] as CurveKind).curve(parameters);
  // What has no data must stay so: clamping would call it black.
  return (x: number): number =>
    x - x === 0 ? shape(clampUnit((x - background - black) / (white - black))) : Number.NaN;
};

/**
 * Noise from the second differences 1 −2 1 along both axes (J. Immerkær, Computer Vision and Image Understanding 64(2)
 * 300–302, 1996: their standard deviation is 6 times that of the pixels), by their median, so that structure counts
 * little. 0 for a picture without noise.
 */
const pixelNoise = (values: Float32Array, width: number, places: Iterable<number>): number => {
  const sizes: number[] = [];
  for (const i of places) {
    const row = (at: number) => values[at - 1]! - 2 * values[at]! + values[at + 1]!;
    const size = Math.abs(row(i - width) - 2 * row(i) + row(i + width));
    if (size - size === 0) sizes.push(size);
  }
  const sorted = Float64Array.from(sizes).sort();
  return ((sorted[sorted.length >> 1] ?? 0) * 1.4826) / 6;
};

/** The sample of some of its lines, in the order of `names`. */
export const sampleOf = (sample: LineSample, names: readonly string[]): LineSample => {
  const columns = names.map((name) => sample.names.indexOf(name));
  const n = sample.names.length;
  return {
    names,
    mean: columns.map((c) => sample.mean[c]!),
    covariance: columns.map((r) => columns.map((c) => sample.covariance[r]![c]!)),
    noise: columns.map((c) => sample.noise[c]!),
    skyNoise: columns.map((c) => sample.skyNoise[c]!),
    values: pick(sample.values, n, columns),
    stars: pick(sample.stars, n, columns),
  };
};

const pick = (values: Float64Array, n: number, columns: readonly number[]): Float64Array =>
  Float64Array.from({ length: (values.length / n) * columns.length }, (_, i) => {
    const at = Math.floor(i / columns.length);
    return values[at * n + columns[i % columns.length]!]!;
  });
