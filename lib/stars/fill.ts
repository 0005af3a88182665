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

/** Gives arrays, all 0, that are used again once `begin` is called. */
interface Arena {
  begin(): void;
  take(length: number): Float64Array;
}

const createArena = (): Arena => {
  let memory = new Float64Array(1 << 15);
  let used = 0;
  return {
    begin: () => {
      used = 0;
    },
    take(length) {
      // Those that were given before keep theirs.
      if (used + length > memory.length) {
        memory = new Float64Array(2 * (memory.length + length));
        used = 0;
      }
      used += length;
      return memory.subarray(used - length, used).fill(0);
    },
  };
};

/** A small rectangle to be filled. */
export interface Patch {
  readonly values: Float64Array;
  /** 1 for known values, 0 for others. */
  readonly known: Float64Array;
  /**
   * The values, those that are not known filled from around them: known values are averaged down by halves, and what is not
   * known takes the value of the smaller copy, smoothed. Undefined where nothing is known.
   * Source: S. Gortler et al. 1996, The Lumigraph, SIGGRAPH 96, 3.4.2 (push-pull).
   */
  fill(): Float64Array | undefined;
}

/** Gives rectangles to be filled, one after the other: each is valid until the next. Nothing is known of them at first. */
export const createFiller = (): ((width: number, height: number) => Patch) => {
  const arena = createArena();
  return (width, height) => {
    arena.begin();
    const [values, known] = [arena.take(width * height), arena.take(width * height)];
    return { values, known, fill: () => filledFrom({ width, height, values, weights: known }, arena) };
  };
};

const filledFrom = (whole: Layer, arena: Arena): Float64Array | undefined => {
  let last = whole;
  const layers = [last];
  while (Math.min(last.width, last.height) >= SMALLEST) {
    last = halved(last, arena);
    layers.push(last);
  }
  let filled = withMean(last, arena);
  for (let i = layers.length - 2; filled !== undefined && i >= 0; i--) {
    const layer = layers[i]!;
    filled = relaxed(layer, enlarged(layer, layers[i + 1]!, filled, arena), arena);
  }
  return filled;
};

const copyOf = (values: Float64Array, arena: Arena): Float64Array => {
  const copy = arena.take(values.length);
  copy.set(values);
  return copy;
};

const halved = ({ width, height, values, weights }: Layer, arena: Arena): Layer => {
  const [w, h] = [(width + 1) >> 1, (height + 1) >> 1];
  const half: Layer = { width: w, height: h, values: arena.take(w * h), weights: arena.take(w * h) };
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
const withMean = ({ values, weights }: Layer, arena: Arena): Float64Array | undefined => {
  let [sum, weight] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    if (weights[i] === 0) continue;
    sum += weights[i]! * values[i]!;
    weight += weights[i]!;
  }
  if (weight === 0) return undefined;
  const filled = copyOf(values, arena);
  for (let i = 0; i < values.length; i++) if (weights[i] === 0) filled[i] = sum / weight;
  return filled;
};

/** The smaller copy linearly between its pixels, where a layer does not know better. */
const enlarged = (
  { width, height, values, weights }: Layer,
  coarse: Layer,
  from: Float64Array,
  arena: Arena,
): Float64Array => {
  const filled = copyOf(values, arena);
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
const relaxed = (layer: Layer, start: Float64Array, arena: Arena): Float64Array => {
  const wanted = wantedOf(layer);
  let [from, to]: [Float64Array, Float64Array] = [start, copyOf(start, arena)];
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
