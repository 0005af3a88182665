import { boxMean, roundness, type Size, smoothed } from './smooth.ts';

/** Pixels of the mean that stands for the local background, on each side. */
const BACKGROUND_REACH = 8;
/** A feature stands out by so many times the scatter. */
const THRESHOLD = 2;
/** Strength in units of the scatter at which a feature counts half of what the brightest can. */
const HALF_STRENGTH = 10;
/** Less than this share of data leaves too little to compare. */
const LEAST_COVER = 0.6;

/**
 * What of a picture different lines have in common: stars and round knots, not the gas around. Data less its local mean
 * is smoothed by a small kernel; what bends down along every direction by more than twice the scatter counts, compressed
 * so that a few bright stars do not outvote the rest.
 * @returns a function from rows of values (not finite: no data) to stars and knots on zero ground, each at most 1, edges
 * tapered. It overwrites its result with the next call; undefined where more than 40 % hold no data or nothing varies
 */
export const featureFinder = (size: Size): ((values: ArrayLike<number>) => Float64Array | undefined) => {
  const length = size.width * size.height;
  const room = () => new Float32Array(length);
  const [known, data, cover, spare, ground] = [room(), room(), room(), room(), room()];
  const picture = new Float64Array(length);
  const [across, down] = [taperOf(size.width), taperOf(size.height)];
  return (values) => {
    const count = withoutMean(values, known, data);
    if (count < LEAST_COVER * length) return undefined;
    lowerByMean(known, data, size, count === length, [cover, ground, spare]);
    smoothed(data, size, spare);
    const round = ground;
    roundness(data, size, round);
    const scatter = scatterOf(round, known);
    if (!(scatter > 0)) return undefined;
    const least = THRESHOLD * scatter;
    const half = HALF_STRENGTH * scatter;
    for (let y = 0, i = 0; y < size.height; y++)
      for (let x = 0; x < size.width; x++, i++) {
        const strength = round[i]! - least;
        const counts = strength > 0 && known[i] === 1;
        picture[i] = counts ? (across[x]! * down[y]! * strength) / (strength + half) : 0;
      }
    return picture;
  };
};

/** Values less their mean, so that float32 loses nothing to a pedestal; 0 and not known where there is no data. */
const withoutMean = (values: ArrayLike<number>, known: Float32Array, data: Float32Array): number => {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < data.length; i++) {
    const v = values[i]!;
    known[i] = v - v === 0 ? 1 : 0;
    if (known[i] === 0) continue;
    count++;
    sum += v;
  }
  const mean = sum / count;
  for (let i = 0; i < data.length; i++) data[i] = known[i] === 1 ? values[i]! - mean : 0;
  return count;
};

/** Takes the local mean of the known values off each of them. */
const lowerByMean = (
  known: Float32Array,
  data: Float32Array,
  size: Size,
  whole: boolean,
  [cover, ground, spare]: readonly [Float32Array, Float32Array, Float32Array],
): void => {
  boxMean(data, size, BACKGROUND_REACH, spare, ground);
  if (whole) {
    for (let i = 0; i < data.length; i++) data[i] = data[i]! - ground[i]!;
    return;
  }
  boxMean(known, size, BACKGROUND_REACH, spare, cover);
  for (let i = 0; i < data.length; i++) if (known[i] === 1) data[i] = data[i]! - ground[i]! / cover[i]!;
};

/** Every so many values are looked at for the scatter. */
const STRIDE = 7;

/** Robust standard deviation of the values other than 0, as if they were half of a normal distribution. */
const scatterOf = (values: Float32Array, known: Float32Array): number => {
  const some = new Float32Array(Math.ceil(values.length / STRIDE));
  let n = 0;
  for (let i = 0; i < values.length; i += STRIDE)
    if (known[i] === 1 && values[i] !== 0) some[n++] = Math.abs(values[i]!);
  const sorted = some.subarray(0, n).sort();
  return 1.4826 * (sorted[n >> 1] ?? 0);
};

/** Rises from 0 to 1 over an eighth of the side as a cosine, so that the edges of a picture make no features. */
const taperOf = (n: number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => {
    const inside = Math.min(i + 0.5, n - i - 0.5) / (n / 8);
    return inside < 1 ? 0.5 - 0.5 * Math.cos(Math.PI * inside) : 1;
  });
