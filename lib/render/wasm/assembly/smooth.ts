// Smoothing on planes: as lib/smooth/plain-operations.ts, which says what each does, four values at a time. Every operation
// is float32, in the same order: the bytes are the same. Addresses are those of the first values of planes, whose rows
// are `stride` bytes apart with a margin of zeros around; widths are multiples of 4.

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
function product(at: usize, other: usize): v128 {
  return f32x4.mul(v128.load(at), v128.load(at + other));
}

/** The other plane lies so many bytes further. */
@inline
function columnProducts(at: usize, other: usize, above: usize): v128 {
  return fiveSum(
    product(at - 2 * above, other),
    product(at - above, other),
    product(at, other),
    product(at + above, other),
    product(at + 2 * above, other),
  );
}

@inline
function rowMean(sums: usize, near: usize): v128 {
  const sum = fiveSum(
    v128.load(sums - 2 * near),
    v128.load(sums - near),
    v128.load(sums),
    v128.load(sums + near),
    v128.load(sums + 2 * near),
  );
  return f32x4.mul(sum, f32x4.splat(<f32>0.04));
}

export function meanSquare(
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
      v128.store(to + offset + x, times(rowMean(sums + x, near), inverse, offset + x));
  }
}

export function invert(mask: usize, weights: usize, stride: usize, width: i32, height: i32): void {
  const none = f32x4.splat(0);
  for (let y = 0; y < height; y++)
    for (let x: usize = 0; x < <usize>width << 2; x += 16) {
      const i = <usize>y * stride + x;
      const inverse = f32x4.div(f32x4.splat(1), v128.load(weights + i));
      v128.store(weights + i, v128.and(inverse, f32x4.gt(v128.load(mask + i), none)));
    }
}

@inline
function deviation(below: v128, factor: v128, perCount: v128): v128 {
  const rise = f32x4.mul(perCount, f32x4.max(f32x4.splat(0), below));
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

/** How much of an energy lies above the threshold. */
@inline
function excess(energy: v128): v128 {
  return f32x4.max(f32x4.splat(0), f32x4.sub(energy, f32x4.splat(2)));
}

@inline
function keptOf(y: v128, t: v128, yy: v128, yt: v128, tt: v128): v128 {
  const one = f32x4.splat(1);
  const both = f32x4.mul(yy, tt);
  const square = f32x4.mul(yt, yt);
  const agree = f32x4.sub(square, f32x4.mul(f32x4.splat(<f32>0.1), f32x4.sub(both, square)));
  const ratio = f32x4.div(agree, f32x4.mul(yt, tt));
  const slope = v128.and(ratio, f32x4.gt(agree, f32x4.splat(0)));
  const rest = f32x4.add(yy, f32x4.mul(slope, f32x4.sub(f32x4.mul(slope, tt), f32x4.add(yt, yt))));
  const common = f32x4.mul(slope, t);
  const strong = excess(tt);
  const own = excess(rest);
  const strongOne = f32x4.add(strong, one);
  const ownOne = f32x4.add(own, one);
  const first = f32x4.mul(f32x4.mul(strong, ownOne), common);
  const second = f32x4.mul(f32x4.mul(own, strongOne), f32x4.sub(y, common));
  return f32x4.div(f32x4.add(first, second), f32x4.mul(strongOne, ownOne));
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
  weight: f32,
): void {
  const bytes = <usize>width << 2;
  const near = <usize>step << 2;
  const above = <usize>step * stride;
  clearEnds(own, bytes);
  clearEnds(shared, bytes);
  const by = f32x4.splat(factor);
  const rise = f32x4.splat(perCount);
  const counts = f32x4.splat(weight);
  for (let row = 0; row < height; row++) {
    const offset = <usize>row * stride;
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = line + offset + x;
      v128.store(own + MARGIN + x, columnSquares(i, above));
      v128.store(shared + MARGIN + x, columnProducts(i, guide - line, above));
    }
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = offset + x;
      const yy = times(rowMean(own + MARGIN + x, near), inverse, i);
      const yt = times(rowMean(shared + MARGIN + x, near), inverse, i);
      const y = v128.load(line + i);
      const kept = keptOf(y, v128.load(guide + i), yy, yt, v128.load(guideEnergy + i));
      const s = deviation(v128.load(below + i), by, rise);
      const taken = f32x4.mul(counts, f32x4.mul(s, f32x4.sub(y, kept)));
      v128.store(removed + i, f32x4.add(v128.load(removed + i), taken));
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
