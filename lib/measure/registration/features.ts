import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { blur } from './blur.ts';
import { type Cover, coverOf } from './cover.ts';
import type { Picture } from './picture.ts';
import { boxMean, roundness, type Size, smoothed } from './smooth.ts';

/** What two lines may have in common, drawn on zero ground with about the same strength everywhere. */
export interface Feature extends Size {
  readonly values: Float32Array;
  /** 1 where the picture says something, else 0; values are 0 there. */
  readonly known: Float32Array;
}

/** What is compared: stars and round knots, or blobs of a size; `scale` is its standard deviation in pixels. */
export interface Kind {
  readonly name: 'round' | 'wave';
  readonly scale: number;
}

export const ROUND: Kind = { name: 'round', scale: 1 };
export const WAVE: Kind = { name: 'wave', scale: 1.2 };

/**
 * The features of a picture of one kind.
 * @param values rows of a picture; what is not finite holds no data
 * @returns undefined where nothing varies or hardly any pixel holds data
 */
export const featureOf = ({ name, scale }: Kind, { values, ...size }: Picture): Feature | undefined => {
  const { data, known } = withoutMean(values);
  return name === 'round' ? roundFeature(data, known, size) : waveFeature(data, known, size, scale);
};

/** The larger Gaussian of a pair against the smaller. */
const WIDER = 1.6;
/** Fewer pixels than this cannot be compared. */
const FEWEST = 100;

/**
 * Bright and dark blobs: the difference of two Gaussians, each normalised by the pixels that hold data, over the local
 * strength of that difference and bounded by ±2, so that a bright knot counts little more than a faint one. Noise stays
 * below that strength where there is any structure.
 */
const waveFeature = (data: Float32Array, known: Float32Array, size: Size, sigma: number): Feature | undefined => {
  const room = () => new Float32Array(data.length);
  const [spare, fine, wide] = [room(), room(), room()];
  // A Gaussian of a Gaussian is a wider one.
  const more = sigma * Math.sqrt(WIDER * WIDER - 1);
  blur(data, size, sigma, spare, fine);
  blur(fine, size, more, spare, wide);
  const cover = coverOf(known, size).widened(sigma);
  const inside = eroded(known, size, Math.ceil(2 * sigma));
  const difference = differenceOf(fine, cover, wide, cover.widened(more), inside, size);
  return evened(difference, inside, size, sigma, [spare, wide, fine]);
};

const differenceOf = (
  fine: Float32Array,
  fineCover: Cover,
  wide: Float32Array,
  wideCover: Cover,
  inside: Float32Array,
  { width, height }: Size,
): Float32Array => {
  const difference = new Float32Array(fine.length);
  for (let y = 0, i = 0; y < height; y++) {
    const [one, other] = [fineCover.row(y), wideCover.row(y)];
    for (let x = 0; x < width; x++, i++) if (inside[i] === 1) difference[i] = fine[i]! / one[x]! - wide[i]! / other[x]!;
  }
  return difference;
};

/** The difference over its local strength; overwrites and returns it as a feature. */
const evened = (
  difference: Float32Array,
  known: Float32Array,
  size: Size,
  sigma: number,
  [spare, squares, cover]: readonly [Float32Array, Float32Array, Float32Array],
): Feature | undefined => {
  // About 0, where differences of Gaussians lie.
  const scatter = MAD_TO_SIGMA * medianSize(difference, known);
  if (!(scatter > 0)) return undefined;
  for (let i = 0; i < squares.length; i++) squares[i] = difference[i]! ** 2;
  // Two box means stand for a Gaussian of five times the wave: what matters is that they are wide.
  const reach = Math.round(6 * sigma);
  cover.set(known);
  for (const field of [squares, cover])
    for (let round = 0; round < 2; round++) boxMean(field, size, reach, spare, field);
  for (let i = 0; i < difference.length; i++) {
    if (known[i] === 0) continue;
    const f = difference[i]! / Math.sqrt(squares[i]! / cover[i]! + (scatter * scatter) / 4);
    difference[i] = f / Math.sqrt(1 + (f * f) / 4);
  }
  return { ...size, values: difference, known };
};

/** Pixels of the mean that stands for the local background of stars, on each side. */
const BACKGROUND_REACH = 8;
/** A star stands out by so many times the scatter. */
const THRESHOLD = 2;
/** Strength in units of the scatter at which a star counts half of what the brightest can. */
const HALF_STRENGTH = 10;

/**
 * Stars and round knots: data less its local mean is smoothed by a small kernel; what bends down along every direction
 * by more than twice the scatter counts, compressed so that a few bright stars do not outvote the rest, less its local
 * mean.
 */
const roundFeature = (values: Float32Array, known: Float32Array, size: Size): Feature | undefined => {
  const room = () => new Float32Array(values.length);
  const [spare, ground, cover] = [room(), room(), room()];
  const data = values.slice();
  lowerByMean(known, data, size, BACKGROUND_REACH, [spare, ground, cover]);
  smoothed(data, size, spare);
  const round = room();
  roundness(data, size, round);
  const inside = eroded(known, size, 4);
  const scatter = MAD_TO_SIGMA * medianSize(round, inside);
  if (!(scatter > 0)) return undefined;
  for (let i = 0; i < round.length; i++) {
    const strength = round[i]! - THRESHOLD * scatter;
    round[i] = strength > 0 && inside[i] === 1 ? strength / (strength + HALF_STRENGTH * scatter) : 0;
  }
  lowerByMean(inside, round, size, 2 * BACKGROUND_REACH, [spare, ground, cover]);
  return { ...size, values: round, known: inside };
};

/** Values less their mean, so that float32 loses nothing to a pedestal; 0 and not known where there is no data. */
const withoutMean = (values: Float32Array): { data: Float32Array; known: Float32Array } => {
  const known = new Float32Array(values.length);
  const data = new Float32Array(values.length);
  let sum = 0;
  let count = 0;
  for (let i = 0; i < data.length; i++) {
    const v = values[i]!;
    if (v - v !== 0) continue;
    known[i] = 1;
    count++;
    sum += v;
  }
  const mean = sum / count;
  // In units of the largest departure, for float32 knows no squares of 1e-30.
  let most = 0;
  for (let i = 0; i < data.length; i++) {
    const size = Math.abs(values[i]! - mean);
    if (size > most && known[i] === 1) most = size;
  }
  if (most > 0) for (let i = 0; i < data.length; i++) if (known[i] === 1) data[i] = (values[i]! - mean) / most;
  return { data, known };
};

/** Takes the local mean of the known values off each of them. */
const lowerByMean = (
  known: Float32Array,
  data: Float32Array,
  size: Size,
  reach: number,
  [spare, ground, cover]: readonly [Float32Array, Float32Array, Float32Array],
): void => {
  boxMean(data, size, reach, spare, ground);
  boxMean(known, size, reach, spare, cover);
  for (let i = 0; i < data.length; i++) if (known[i] === 1) data[i] = data[i]! - ground[i]! / cover[i]!;
};

/** Known pixels all of whose neighbours within `reach` along both axes are known and inside the picture. */
const eroded = (known: Float32Array, { width, height }: Size, reach: number): Float32Array => {
  const result = new Float32Array(known.length);
  const down = new Int32Array(width);
  const rows = new Int32Array(known.length);
  for (let y = 0; y < height; y++)
    for (let x = 0, run = 0; x < width; x++) {
      run = known[y * width + x] === 1 ? run + 1 : 0;
      if (run > 2 * reach) rows[y * width + x - reach] = 1;
    }
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      down[x] = rows[y * width + x] === 1 ? down[x]! + 1 : 0;
      if (down[x]! > 2 * reach) result[(y - reach) * width + x] = 1;
    }
  return result;
};

/** Values looked at for a median, at most about so many. */
const SOME = 4000;

/** Median size of the known values other than 0; 0 where there are hardly any. */
const medianSize = (values: Float32Array, known: Float32Array): number => {
  // An odd stride, so that no column of a picture of even width is preferred.
  const stride = Math.floor(values.length / SOME) | 1;
  const some = new Float32Array(Math.ceil(values.length / stride));
  let n = 0;
  for (let i = 0; i < values.length; i += stride)
    if (known[i] === 1 && values[i] !== 0) some[n++] = Math.abs(values[i]!);
  return n * stride < FEWEST ? 0 : some.subarray(0, n).sort()[n >> 1]!;
};
