import type { Size } from '../planes/blur.ts';

/** A straight line through a place, by the direction in which it runs; both in pixels of the plane. */
export interface Ray {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
}

/** What lies along a ray: row by row on the way, from `-half` to `half` across it. */
export interface Strip {
  readonly length: number;
  readonly half: number;
  readonly values: Float32Array;
  readonly weights: Float32Array;
}

/** The ray through a place at an angle, in radians clockwise from the horizontal. */
export const rayAt = (x: number, y: number, angle: number): Ray => ({ x, y, dx: Math.cos(angle), dy: Math.sin(angle) });

/** The place so far along a ray, and so far to its right. */
export const alongRay = ({ x, y, dx, dy }: Ray, along: number, across = 0): [x: number, y: number] => [
  x + along * dx - across * dy,
  y + along * dy + across * dx,
];

/** Where a ray enters and leaves the frame, along it. */
export const chordOf = ({ x, y, dx, dy }: Ray, { width, height }: Size): [enters: number, leaves: number] => {
  let [enters, leaves] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const [at, step, last] of [
    [x, dx, width - 1],
    [y, dy, height - 1],
  ] as const) {
    if (Math.abs(step) < 1e-9) continue;
    const [a, b] = [-at / step, (last - at) / step];
    enters = Math.max(enters, Math.min(a, b));
    leaves = Math.min(leaves, Math.max(a, b));
  }
  return [enters, leaves];
};

/** The nearest pixels to places along a ray, one pixel apart; those outside have no weight. */
export const stripAlong = (
  { values, weights }: { readonly values: Float32Array; readonly weights: Float32Array },
  { width, height }: Size,
  ray: Ray,
  from: number,
  to: number,
  half: number,
): Strip => {
  const length = Math.max(0, Math.ceil(to - from));
  const across = 2 * half + 1;
  const strip = {
    length,
    half,
    values: new Float32Array(length * across),
    weights: new Float32Array(length * across),
  };
  for (let t = 0, i = 0; t < length; t++)
    for (let s = -half; s <= half; s++, i++) {
      const x = Math.round(ray.x + (from + t) * ray.dx - s * ray.dy);
      const y = Math.round(ray.y + (from + t) * ray.dy + s * ray.dx);
      if (x < 0 || y < 0 || x >= width || y >= height) continue;
      strip.values[i] = values[y * width + x]!;
      strip.weights[i] = weights[y * width + x]!;
    }
  return strip;
};

/** Sums over the part [from, to) of a strip's way, for each place across it. */
export const acrossStrip = (strip: Strip, from = 0, to = strip.length) => {
  const across = 2 * strip.half + 1;
  const [light, weight] = [new Float64Array(across), new Float64Array(across)];
  for (let t = from, i = from * across; t < to; t++)
    for (let k = 0; k < across; k++, i++) {
      light[k]! += strip.values[i]!;
      weight[k]! += strip.weights[i]!;
    }
  return { light, weight };
};

/** Sums of all that lies so far from a ray's middle, at least and at most. */
export const bandOf = (
  { light, weight }: ReturnType<typeof acrossStrip>,
  half: number,
  least: number,
  most: number,
  middle = 0,
): { light: number; weight: number; places: number } => {
  const sum = { light: 0, weight: 0, places: 0 };
  for (let s = -half; s <= half; s++) {
    const off = Math.abs(s - middle);
    if (off < least || off > most) continue;
    sum.light += light[s + half]!;
    sum.weight += weight[s + half]!;
    sum.places++;
  }
  return sum;
};
