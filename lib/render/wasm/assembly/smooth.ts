// Smoothing on planes: as lib/smooth/plain-operations.ts, which says what each does, four values at a time. Every operation
// is float32, in the same order: the bytes are the same. Addresses are those of the first values of planes, whose rows
// are `stride` bytes apart with a margin of zeros around; widths are multiples of 8.

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

/** Values as they come to units of the noise; those that are undefined become 0 and are unmarked. 1 where one is. */
export function load(
  plane: usize,
  mask: usize,
  stride: usize,
  width: i32,
  height: i32,
  level: f32,
  scale: f32,
  farthest: f32,
): i32 {
  const from = f32x4.splat(level);
  const by = f32x4.splat(scale);
  const most = f32x4.splat(farthest);
  const least = f32x4.neg(most);
  let whole = i32x4.splat(-1);
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      const value = v128.load(plane + i);
      // Infinity less itself is no number either.
      const finite = f32x4.eq(f32x4.sub(value, value), f32x4.splat(0));
      const near = f32x4.pmin(f32x4.pmax(f32x4.sub(value, from), least), most);
      v128.store(plane + i, v128.and(f32x4.mul(near, by), finite));
      v128.store(mask + i, v128.and(v128.load(mask + i), finite));
      whole = v128.and(whole, finite);
    }
  return i32x4.all_true(whole) ? 0 : 1;
}

/** plane = 0 where the mask is. */
export function cover(mask: usize, plane: usize, stride: usize, width: i32, height: i32): void {
  const none = f32x4.splat(0);
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      v128.store(plane + i, v128.and(v128.load(plane + i), f32x4.gt(v128.load(mask + i), none)));
    }
}

export function invert(mask: usize, weights: usize, stride: usize, width: i32, height: i32, whole: f32): void {
  const none = f32x4.splat(0);
  const all = f32x4.splat(whole);
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      const inverse = f32x4.div(all, v128.load(weights + i));
      v128.store(weights + i, v128.and(inverse, f32x4.gt(v128.load(mask + i), none)));
    }
}

@inline
function deviation(below: v128, factor: v128, perCount: v128): v128 {
  const rise = f32x4.mul(perCount, f32x4.pmax(f32x4.splat(0), below));
  return f32x4.mul(factor, f32x4.sqrt(f32x4.add(f32x4.splat(1), rise)));
}

export function whiten(
  plane: usize,
  below: usize,
  stride: usize,
  width: i32,
  height: i32,
  factor: f32,
  perCount: f32,
): void {
  const by = f32x4.splat(factor);
  const rise = f32x4.splat(perCount);
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      const low = v128.load(below + i);
      v128.store(plane + i, f32x4.div(f32x4.sub(v128.load(plane + i), low), deviation(low, by, rise)));
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

/** Width and height are those of the coarse plane. */
export function halve(from: usize, fineStride: usize, to: usize, stride: usize, width: i32, height: i32): void {
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = from + 2 * (<usize>y * fineStride + x);
      v128.store(to + <usize>y * stride + x, v128.shuffle<f32>(v128.load(i), v128.load(i, 16), 0, 2, 4, 6));
    }
}

/** Adds values at even and odd places over their shares; where there is no share, what was there stays. */
@inline
function addBetween(to: usize, even: v128, odd: v128, evenShare: v128, oddShare: v128): void {
  addOver(to, v128.shuffle<f32>(even, odd, 0, 4, 1, 5), v128.shuffle<f32>(evenShare, oddShare, 0, 4, 1, 5));
  addOver(to + 16, v128.shuffle<f32>(even, odd, 2, 6, 3, 7), v128.shuffle<f32>(evenShare, oddShare, 2, 6, 3, 7));
}

@inline
function addOver(to: usize, value: v128, share: v128): void {
  const before = v128.load(to);
  const sum = f32x4.add(before, f32x4.div(value, share));
  v128.store(to, v128.bitselect(sum, before, f32x4.gt(share, f32x4.splat(0))));
}

@inline
function middle(a: v128, b: v128): v128 {
  return f32x4.mul(f32x4.splat(0.5), f32x4.add(a, b));
}

@inline
function valueAt(from: usize, mask: usize, i: usize): v128 {
  return mask == 0 ? v128.load(from + i) : f32x4.mul(v128.load(from + i), v128.load(mask + i));
}

@inline
function shareAt(mask: usize, i: usize): v128 {
  return mask == 0 ? f32x4.splat(1) : v128.load(mask + i);
}

/** Width and height are those of the coarse plane. */
export function raise(
  from: usize,
  mask: usize,
  stride: usize,
  to: usize,
  fineStride: usize,
  width: i32,
  height: i32,
): void {
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      const at = to + 2 * (<usize>y * fineStride + x);
      const here = valueAt(from, mask, i);
      const below = valueAt(from, mask, i + stride);
      const between = middle(here, valueAt(from, mask, i + 4));
      const betweenBelow = middle(below, valueAt(from, mask, i + stride + 4));
      const share = shareAt(mask, i);
      const shareBelow = shareAt(mask, i + stride);
      const shareBetween = middle(share, shareAt(mask, i + 4));
      const shareBetweenBelow = middle(shareBelow, shareAt(mask, i + stride + 4));
      addBetween(at, here, between, share, shareBetween);
      addBetween(
        at + fineStride,
        middle(here, below),
        middle(between, betweenBelow),
        middle(share, shareBelow),
        middle(shareBetween, shareBetweenBelow),
      );
    }
}

/** The first address of memory that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}
