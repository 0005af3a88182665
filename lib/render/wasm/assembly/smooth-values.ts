// What smoothing does to the values of a plane one by one: units of noise, marks of what is undefined. As smooth.ts.

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

/** Noise of a scale at a level, in units of that of a pixel. */
@inline
export function deviation(below: v128, factor: v128, perCount: v128): v128 {
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
