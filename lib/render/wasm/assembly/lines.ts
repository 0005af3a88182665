// Sums and scores of lines, as lib/check/lines/transform.ts and piece-scores.ts, which say what each does. Every operation has
// the precision and the order that it has there: the bytes are the same. Addresses are those of first values; counts and
// places are in values.

export { meansAcross, meansDown } from './means';

const LEAST: f64 = 0.5;
const LEAST_SIDE: f64 = 1.5;
const LEAST_STEP: f64 = 0.7;
const BINS: f64 = 4096;
const BIN: f64 = 0.01;
const EVERY: i32 = 8;

/** First address that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}

@inline
function addRuns(upper: usize, lower: usize, target: usize, count: i32): void {
  let x = 0;
  for (; x + 4 <= count; x += 4) {
    const at = <usize>x << 2;
    v128.store(target + at, f32x4.add(v128.load(upper + at), v128.load(lower + at)));
  }
  for (; x < count; x++) {
    const at = <usize>x << 2;
    store<f32>(target + at, load<f32>(upper + at) + load<f32>(lower + at));
  }
}

@inline
function copyRun(from: usize, to: usize, count: i32): void {
  if (count > 0) memory.copy(to, from, <usize>count << 2);
}

/** Joins pieces two by two. */
export function join(sums: usize, into: usize, pieces: i32, rows: i32, stride: i32, pad: i32): void {
  for (let piece = 0; piece < pieces; piece += 2)
    for (let shift = 0; shift < 2 * rows; shift++) {
      const half = shift >> 1;
      const step = shift - half;
      const upper = sums + (<usize>((piece * rows + half) * stride) << 2);
      const lower = sums + (<usize>(((piece + 1) * rows + half) * stride + step) << 2);
      const target = into + (<usize>((piece * rows + shift) * stride) << 2);
      const first = pad - shift;
      const inside = pad - half;
      const middle = <usize>inside << 2;
      if (piece + 1 == pieces) {
        memory.fill(target + (<usize>first << 2), 0, <usize>(inside - first) << 2);
        copyRun(upper + middle, target + middle, stride - inside);
        continue;
      }
      const end = max(inside, stride - step);
      copyRun(lower + (<usize>first << 2), target + (<usize>first << 2), inside - first);
      addRuns(upper + middle, lower + middle, target + middle, end - inside);
      copyRun(upper + (<usize>end << 2), target + (<usize>end << 2), stride - end);
    }
}

/** Sums of one line, so that any run of it is a difference; what lies outside counts as 0. */
function runningSums(into: usize, sums: usize, length: i32, margin: i32): void {
  memory.fill(into, 0, <usize>(margin + 1) << 3);
  let sum: f64 = 0;
  let to = into + (<usize>(margin + 1) << 3);
  for (let i = 0; i < length; i++, to += 8) {
    sum += <f64>load<f32>(sums + (<usize>i << 2));
    store<f64>(to, sum);
  }
  for (let i = 0; i < margin; i++, to += 8) store<f64>(to, sum);
}

// The question, kept between rows.
let least: f64 = 0;
let known: f64 = 0;
let scores: usize = 0;
let high: usize = 0;
let counted: usize = 0;
let found: i32 = 0;

/** Takes in one score, given as `above` over the root of `below`. */
@inline
function take(at: i32, above: f64, below: f64): void {
  const root = sqrt<f64>(below);
  if (!(above * above < least * least * below)) {
    store<f32>(scores + (<usize>at << 2), <f32>(above / root));
    store<i32>(high + (<usize>found << 2), at);
    found++;
  }
  if (at % EVERY == 0) {
    const bin = counted + (<usize>min<f64>(BINS - 1, floor<f64>(abs<f64>(above) / root / BIN)) << 2);
    store<i32>(bin, load<i32>(bin) + 1);
  }
}

@inline
function run(ends: usize, from: usize, to: usize): v128 {
  return f64x2.sub(v128.load(ends + to), v128.load(ends + from));
}

/** Scores two places at a time; few are worth more than a comparison. */
function lineScores(r: usize, v: usize, width: i32, margin: i32, first: i32, length: i32): void {
  const half = width >> 1;
  const gap = max(1, half);
  const flank = 2 * width;
  const a0 = margin - half;
  const a = <usize>a0 << 3;
  const b = <usize>(a0 + width) << 3;
  const b1 = <usize>(a0 - gap) << 3;
  const a1 = <usize>(a0 - gap - flank) << 3;
  const a2 = <usize>(a0 + width + gap) << 3;
  const b2 = <usize>(a0 + width + gap + flank) << 3;
  const enough = f64x2.splat(known);
  const side = f64x2.splat(LEAST_SIDE * known);
  const bound = f64x2.splat(least * least);
  for (let i = 0; i < length; i += 2) {
    const shift = <usize>i << 3;
    const vs = v + shift;
    const centre = run(vs, a, b);
    const before = run(vs, a1, b1);
    const after = run(vs, a2, b2);
    let isKnown = v128.and(f64x2.ge(centre, enough), v128.and(f64x2.ge(before, side), f64x2.ge(after, side)));
    if (!v128.any_true(isKnown)) continue;
    const rs = r + shift;
    const sides = f64x2.add(before, after);
    const beside = f64x2.sub(f64x2.add(run(rs, a1, b1), v128.load(rs + b2)), v128.load(rs + a2));
    const above = f64x2.sub(f64x2.mul(run(rs, a, b), sides), f64x2.mul(beside, centre));
    const below = f64x2.mul(f64x2.mul(centre, sides), f64x2.add(centre, sides));
    const isHigh = f64x2.ge(f64x2.mul(above, above), f64x2.mul(bound, below));
    const at = first + i;
    // Every eighth place is counted as well.
    const isCounted = at % EVERY == 0 || (at + 1) % EVERY == 0;
    if (!isCounted && !v128.any_true(v128.and(isKnown, isHigh))) continue;
    const lanes = i64x2.bitmask(isKnown);
    if (lanes & 1) take(at, f64x2.extract_lane(above, 0), f64x2.extract_lane(below, 0));
    if (lanes & 2 && i + 1 < length) take(at + 1, f64x2.extract_lane(above, 1), f64x2.extract_lane(below, 1));
  }
}

@inline
function ending(ends: usize, at: i32): f64 {
  return load<f64>(ends + (<usize>at << 3));
}

function stepScores(r: usize, v: usize, width: i32, margin: i32, first: i32, length: i32): void {
  for (let i = 0; i < length; i++) {
    const at = margin + i;
    const before = ending(v, at) - ending(v, at - width);
    const after = ending(v, at + width) - ending(v, at);
    if (before < LEAST_STEP * known || after < LEAST_STEP * known) continue;
    const light = (ending(r, at + width) - ending(r, at)) * before - (ending(r, at) - ending(r, at - width)) * after;
    take(first + i, light, before * after * (before + after));
  }
}

/** Scores the lines of all pieces but the last ones that are left out; the number of those that are not too small. */
export function score(
  values: usize,
  weights: usize,
  r: usize,
  v: usize,
  intoScores: usize,
  intoHigh: usize,
  intoCounted: usize,
  pieces: i32,
  rows: i32,
  stride: i32,
  pad: i32,
  width: i32,
  isStep: i32,
  smallest: f64,
): i32 {
  const margin = 4 * width + 4;
  least = smallest;
  known = LEAST * <f64>rows * <f64>width;
  scores = intoScores;
  high = intoHigh;
  counted = intoCounted;
  found = 0;
  for (let piece = 0; piece < pieces; piece++)
    for (let shift = 0; shift < rows; shift++) {
      const first = (piece * rows + shift) * stride + pad - shift;
      const length = stride - pad + shift;
      const at = <usize>first << 2;
      runningSums(r, values + at, length, margin);
      runningSums(v, weights + at, length, margin);
      memory.fill(scores + at, 0, <usize>length << 2);
      if (isStep) stepScores(r, v, width, margin, first, length);
      else lineScores(r, v, width, margin, first, length);
    }
  return found;
}
