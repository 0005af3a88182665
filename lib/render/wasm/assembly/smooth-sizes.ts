// Between the sizes of smoothing's planes: every second value to the coarser, and linearly back. As smooth.ts.

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
