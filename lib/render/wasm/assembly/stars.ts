// Smoothing of rectangles by any symmetric kernel, as lib/stars/find/plain-blur.ts, four values at a time. Every operation is
// float32, in the same order: the bytes are the same. Rows are `stride` bytes apart, a multiple of 16; what lies between the
// width and the stride may hold anything.

/** Most values of a row, what is repeated at both ends included. */
const LONGEST: i32 = 4096;
const row = memory.data(4 * LONGEST, 16);

/** First address that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}

@inline
function inside(y: i32, height: i32): i32 {
  return max(0, min(height - 1, y));
}

/** Repeats the first and last value of a row of sums outwards. */
@inline
function repeatEnds(sums: usize, width: i32, reach: i32): void {
  const first = load<f32>(sums);
  const last = load<f32>(sums + (<usize>(width - 1) << 2));
  for (let i = 1; i <= reach; i++) {
    store<f32>(sums - (<usize>i << 2), first);
    store<f32>(sums + (<usize>(width - 1 + i) << 2), last);
  }
}

/** `kernel`: weights from the middle outwards, `reach` + 1 of them. */
export function blur(from: usize, to: usize, stride: usize, width: i32, height: i32, kernel: usize, reach: i32): void {
  const bytes = ((<usize>width << 2) + 15) & ~15;
  const sums = row + (((<usize>reach << 2) + 15) & ~15);
  const middle = v128.load32_splat(kernel);
  for (let y = 0; y < height; y++) {
    const here = from + <usize>y * stride;
    for (let x: usize = 0; x < bytes; x += 16) {
      let sum = f32x4.mul(middle, v128.load(here + x));
      for (let t = 1; t <= reach; t++) {
        const above = v128.load(from + <usize>inside(y - t, height) * stride + x);
        const below = v128.load(from + <usize>inside(y + t, height) * stride + x);
        const weight = v128.load32_splat(kernel + (<usize>t << 2));
        sum = f32x4.add(sum, f32x4.mul(weight, f32x4.add(above, below)));
      }
      v128.store(sums + x, sum);
    }
    repeatEnds(sums, width, reach);
    const out = to + <usize>y * stride;
    for (let x: usize = 0; x < bytes; x += 16) {
      const i = sums + x;
      let sum = f32x4.mul(middle, v128.load(i));
      for (let t = 1; t <= reach; t++) {
        const far = <usize>t << 2;
        const weight = v128.load32_splat(kernel + far);
        sum = f32x4.add(sum, f32x4.mul(weight, f32x4.add(v128.load(i - far), v128.load(i + far))));
      }
      v128.store(out + x, sum);
    }
  }
}
