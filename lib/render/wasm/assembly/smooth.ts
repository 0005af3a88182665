// Smoothing on planes: as lib/smooth/plain-operations.ts, which says what each does, four values at a time. Every operation
// is float32, in the same order: the bytes are the same. Addresses are those of the first values of planes, whose rows
// are `stride` bytes apart with a margin of zeros around; widths are multiples of 8.

import { deviation } from './smooth-values';

export { halve, raise } from './smooth-sizes';
export { cover, invert, load, whiten } from './smooth-values';

/** Most values of a row, margins included. */
const LONGEST: i32 = 4096;
const MARGIN: usize = 16;
const own = memory.data(4 * LONGEST, 16);
const shared = memory.data(4 * LONGEST, 16);

@inline
function fiveTaps(a: v128, b: v128, c: v128, d: v128, e: v128): v128 {
  const outer = f32x4.add(f32x4.add(a, e), f32x4.mul(f32x4.splat(4), f32x4.add(b, d)));
  return f32x4.add(outer, f32x4.mul(f32x4.splat(6), c));
}

@inline
function fiveSum(a: v128, b: v128, c: v128, d: v128, e: v128): v128 {
  return f32x4.add(f32x4.add(f32x4.add(a, e), f32x4.add(b, d)), c);
}

/** Sums of a row have zeros on both sides. */
@inline
function clearEnds(row: usize, bytes: usize): void {
  v128.store(row, f32x4.splat(0));
  v128.store(row + MARGIN + bytes, f32x4.splat(0));
}

@inline
function times(value: v128, inverse: usize, offset: usize): v128 {
  return inverse == 0 ? value : f32x4.mul(value, v128.load(inverse + offset));
}

export function smooth(from: usize, to: usize, stride: usize, width: i32, height: i32, step: i32, inverse: usize): void {
  const bytes = <usize>width << 2;
  const near = <usize>step << 2;
  const far = near << 1;
  const above = <usize>step * stride;
  clearEnds(own, bytes);
  const sums = own + MARGIN;
  const share = f32x4.splat(1.0 / 256);
  for (let y = 0; y < height; y++) {
    const offset = <usize>y * stride;
    const at = from + offset;
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = at + x;
      v128.store(
        sums + x,
        fiveTaps(
          v128.load(i - 2 * above),
          v128.load(i - above),
          v128.load(i),
          v128.load(i + above),
          v128.load(i + 2 * above),
        ),
      );
    }
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = sums + x;
      const sum = fiveTaps(
        v128.load(i - far),
        v128.load(i - near),
        v128.load(i),
        v128.load(i + near),
        v128.load(i + far),
      );
      v128.store(to + offset + x, times(f32x4.mul(sum, share), inverse, offset + x));
    }
  }
}

@inline
function square(at: usize): v128 {
  const value = v128.load(at);
  return f32x4.mul(value, value);
}

@inline
function columnSquares(at: usize, above: usize): v128 {
  return fiveSum(
    square(at - 2 * above),
    square(at - above),
    square(at),
    square(at + above),
    square(at + 2 * above),
  );
}

@inline
function rowSum(sums: usize, near: usize): v128 {
  return fiveSum(
    v128.load(sums - 2 * near),
    v128.load(sums - near),
    v128.load(sums),
    v128.load(sums + near),
    v128.load(sums + 2 * near),
  );
}

export function energy(
  from: usize,
  to: usize,
  stride: usize,
  width: i32,
  height: i32,
  step: i32,
  inverse: usize,
): void {
  const bytes = <usize>width << 2;
  const near = <usize>step << 2;
  const above = <usize>step * stride;
  clearEnds(own, bytes);
  const sums = own + MARGIN;
  for (let y = 0; y < height; y++) {
    const offset = <usize>y * stride;
    const at = from + offset;
    for (let x: usize = 0; x < bytes; x += 16) v128.store(sums + x, columnSquares(at + x, above));
    for (let x: usize = 0; x < bytes; x += 16)
      v128.store(to + offset + x, times(rowSum(sums + x, near), inverse, offset + x));
  }
}

/** 25 times what an energy, summed over 25 pixels, divides what is removed by: 1 + max(0, E − 2). */
@inline
function divisor(sum: v128): v128 {
  return f32x4.pmax(f32x4.splat(25), f32x4.sub(sum, f32x4.splat(25)));
}

/** A 25th of what is removed of y in units of its noise; sums are those over 25 pixels. */
@inline
function removedOf(y: v128, t: v128, yy: v128, yt: v128, tt: v128): v128 {
  const square = f32x4.mul(f32x4.splat(<f32>1.1), f32x4.mul(yt, yt));
  const agree = f32x4.sub(square, f32x4.mul(f32x4.splat(<f32>0.1), f32x4.mul(yy, tt)));
  const ratio = f32x4.div(agree, f32x4.mul(yt, tt));
  const slope = v128.and(ratio, f32x4.gt(agree, f32x4.splat(0)));
  const own = f32x4.add(yy, f32x4.mul(slope, f32x4.sub(f32x4.mul(slope, tt), f32x4.add(yt, yt))));
  const common = f32x4.mul(slope, t);
  const byGuide = divisor(tt);
  const byOwn = divisor(own);
  const sum = f32x4.add(f32x4.mul(f32x4.sub(y, common), byGuide), f32x4.mul(common, byOwn));
  return f32x4.div(sum, f32x4.mul(byGuide, byOwn));
}

/** Sums of five rows of two planes: of squares of the first, and of products of both. */
@inline
function sumColumns(
  a: v128,
  b: v128,
  c: v128,
  d: v128,
  e: v128,
  p: v128,
  q: v128,
  r: v128,
  s: v128,
  t: v128,
  at: usize,
): void {
  const squares = fiveSum(f32x4.mul(a, a), f32x4.mul(b, b), f32x4.mul(c, c), f32x4.mul(d, d), f32x4.mul(e, e));
  const products = fiveSum(f32x4.mul(a, p), f32x4.mul(b, q), f32x4.mul(c, r), f32x4.mul(d, s), f32x4.mul(e, t));
  v128.store(own + MARGIN + at, squares);
  v128.store(shared + MARGIN + at, products);
}

export function shrink(
  line: usize,
  guide: usize,
  guideEnergy: usize,
  below: usize,
  removed: usize,
  stride: usize,
  width: i32,
  height: i32,
  step: i32,
  inverse: usize,
  factor: f32,
  perCount: f32,
): void {
  const bytes = <usize>width << 2;
  const near = <usize>step << 2;
  const above = <usize>step * stride;
  clearEnds(own, bytes);
  clearEnds(shared, bytes);
  const by = f32x4.splat(factor);
  const rise = f32x4.splat(perCount);
  for (let row = 0; row < height; row++) {
    const offset = <usize>row * stride;
    for (let x: usize = 0; x < bytes; x += 32) {
      const i = line + offset + x;
      const j = guide + offset + x;
      const i0 = i - 2 * above;
      const i1 = i - above;
      const i3 = i + above;
      const i4 = i + 2 * above;
      const j0 = j - 2 * above;
      const j1 = j - above;
      const j3 = j + above;
      const j4 = j + 2 * above;
      sumColumns(
        v128.load(i0), v128.load(i1), v128.load(i), v128.load(i3), v128.load(i4),
        v128.load(j0), v128.load(j1), v128.load(j), v128.load(j3), v128.load(j4),
        x,
      );
      sumColumns(
        v128.load(i0, 16), v128.load(i1, 16), v128.load(i, 16), v128.load(i3, 16), v128.load(i4, 16),
        v128.load(j0, 16), v128.load(j1, 16), v128.load(j, 16), v128.load(j3, 16), v128.load(j4, 16),
        x + 16,
      );
    }
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = offset + x;
      const yy = times(rowSum(own + MARGIN + x, near), inverse, i);
      const yt = times(rowSum(shared + MARGIN + x, near), inverse, i);
      const y = v128.load(line + i);
      const taken = removedOf(y, v128.load(guide + i), yy, yt, v128.load(guideEnergy + i));
      const unit = deviation(v128.load(below + i), by, rise);
      v128.store(removed + i, f32x4.add(v128.load(removed + i), f32x4.mul(unit, taken)));
    }
  }
}

/** The first address of memory that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}
