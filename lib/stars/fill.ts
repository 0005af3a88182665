/** A rectangle of values with the weight of each: 1 for known, 0 for wanted; between them in smaller copies. */
interface Layer {
  readonly width: number;
  readonly height: number;
  readonly values: Float64Array;
  readonly weights: Float64Array;
}

/** How often filled values are replaced by the mean around them, in each size. */
const RELAXATIONS = 6;
/** The shorter side from which on no smaller copy is made. */
const SMALLEST = 4;

/**
 * The values of a small rectangle, those that are not known filled from around them: known values are averaged down by
 * halves, and what is not known takes the value of the smaller copy, smoothed. Undefined where nothing is known.
 * Source: S. Gortler et al. 1996, The Lumigraph, SIGGRAPH 96, 3.4.2 (push-pull).
 * @param known 1 for known values, 0 for others
 */
export const filledFrom = (
  values: Float64Array,
  known: Float64Array,
  width: number,
  height: number,
): Float64Array | undefined => {
  let last: Layer = { width, height, values, weights: known };
  const layers = [last];
  while (Math.min(last.width, last.height) >= SMALLEST) {
    last = halved(last);
    layers.push(last);
  }
  let filled = withMean(last);
  for (let i = layers.length - 2; filled !== undefined && i >= 0; i--) {
    const layer = layers[i]!;
    filled = relaxed(layer, enlarged(layer, layers[i + 1]!, filled));
  }
  return filled;
};

const halved = ({ width, height, values, weights }: Layer): Layer => {
  const [w, h] = [(width + 1) >> 1, (height + 1) >> 1];
  const half: Layer = { width: w, height: h, values: new Float64Array(w * h), weights: new Float64Array(w * h) };
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const weight = weights[y * width + x]!;
      if (weight === 0) continue;
      const to = (y >> 1) * w + (x >> 1);
      half.values[to]! += weight * values[y * width + x]!;
      half.weights[to]! += weight;
    }
  for (let i = 0; i < w * h; i++) {
    const weight = half.weights[i]!;
    if (weight > 0) half.values[i]! /= weight;
    half.weights[i] = Math.min(1, weight);
  }
  return half;
};

/** What is not known of the smallest copy is the mean of what is. */
const withMean = ({ values, weights }: Layer): Float64Array | undefined => {
  let [sum, weight] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    if (weights[i] === 0) continue;
    sum += weights[i]! * values[i]!;
    weight += weights[i]!;
  }
  return weight === 0 ? undefined : values.map((value, i) => (weights[i] === 0 ? sum / weight : value));
};

/** The smaller copy linearly between its pixels, where a layer does not know better. */
const enlarged = ({ width, height, values, weights }: Layer, coarse: Layer, from: Float64Array): Float64Array => {
  const filled = values.slice();
  for (let y = 0; y < height; y++) {
    const v = between((y + 0.5) / 2 - 0.5, coarse.height);
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const weight = weights[i]!;
      if (weight === 1) continue;
      const u = between((x + 0.5) / 2 - 0.5, coarse.width);
      const at = v.first * coarse.width + u.first;
      const upper = from[at]! * (1 - u.part) + from[at + 1]! * u.part;
      const lower = from[at + coarse.width]! * (1 - u.part) + from[at + coarse.width + 1]! * u.part;
      filled[i] = mixed(weight, values[i]!, upper * (1 - v.part) + lower * v.part);
    }
  }
  return filled;
};

const between = (at: number, size: number) => {
  const inside = Math.max(0, Math.min(size - 1, at));
  const first = Math.min(size - 2, Math.floor(inside));
  return { first, part: inside - first };
};

/** Weighs what is known against what is filled in. */
const mixed = (weight: number, known: number, filled: number): number =>
  weight === 0 ? filled : weight * known + (1 - weight) * filled;

/** What a layer does not know better becomes the mean of its eight neighbours, edges nearer than corners, again and again. */
const relaxed = (layer: Layer, start: Float64Array): Float64Array => {
  const wanted = wantedOf(layer);
  let [from, to]: [Float64Array, Float64Array] = [start, start.slice()];
  for (let round = 0; round < RELAXATIONS; round++) {
    relaxInto(layer, wanted, from, to);
    [from, to] = [to, from];
  }
  return from;
};

/** The places that are not known for certain. */
const wantedOf = ({ weights }: Layer): Int32Array => {
  let count = 0;
  const places = new Int32Array(weights.length);
  for (let i = 0; i < weights.length; i++) if (weights[i] !== 1) places[count++] = i;
  return places.subarray(0, count);
};

const relaxInto = (
  { width, height, values, weights }: Layer,
  wanted: Int32Array,
  from: Float64Array,
  to: Float64Array,
): void => {
  for (let j = 0; j < wanted.length; j++) {
    const i = wanted[j]!;
    const y = Math.floor(i / width);
    const x = i - y * width;
    const left = x > 0 ? -1 : 0;
    const right = x < width - 1 ? 1 : 0;
    const above = i - (y > 0 ? width : 0);
    const below = i + (y < height - 1 ? width : 0);
    const corners = from[above + left]! + from[above + right]! + from[below + left]! + from[below + right]!;
    const edges = from[above]! + from[i + left]! + from[i + right]! + from[below]!;
    to[i] = mixed(weights[i]!, values[i]!, (corners + 2 * edges) / 12);
  }
};
