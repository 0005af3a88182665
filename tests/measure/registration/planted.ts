import type { Plane } from '../../../lib/plane/plane.ts';
import { random } from '../../../samples/scene/random.ts';

/** How a picture is moved: content turned clockwise by `angle` degrees and scaled about the centre, then shifted. */
export interface Planted {
  readonly dx?: number;
  readonly dy?: number;
  readonly angle?: number;
  readonly scale?: number;
}

/** Coefficients of the cubic spline through every pixel (M. Unser, IEEE Signal Processing Magazine 16(6) 22–38, 1999). */
const splineOf = ({ width, height, data }: Plane): Float64Array => {
  const pole = Math.sqrt(3) - 2;
  const c = Float64Array.from(data);
  const line = (start: number, step: number, length: number) => {
    const at = (i: number) => start + step * (i < length ? i : 2 * length - 2 - i);
    let first = 0;
    for (let i = 0, power = 1; i < Math.min(30, 2 * length - 2); i++, power *= pole) first += power * c[at(i)]!;
    c[start] = first;
    for (let i = 1; i < length; i++) c[start + step * i]! += pole * c[start + step * (i - 1)]!;
    const last = start + step * (length - 1);
    c[last] = (pole / (pole * pole - 1)) * (pole * c[last - step]! + c[last]!);
    for (let i = length - 2; i >= 0; i--)
      c[start + step * i] = pole * (c[start + step * (i + 1)]! - c[start + step * i]!);
    for (let i = 0; i < length; i++) c[start + step * i]! *= 6;
  };
  for (let y = 0; y < height; y++) line(y * width, 1, width);
  for (let x = 0; x < width; x++) line(x, width, height);
  return c;
};

const weights = (t: number): number[] => [
  (1 - t) ** 3 / 6,
  2 / 3 - t * t * (1 - t / 2),
  2 / 3 - (1 - t) ** 2 * (1 + t) * 0.5,
  t ** 3 / 6,
];

/** The picture with its content moved; NaN where nothing came from and where a pixel that counts was NaN. */
export const moved = (plane: Plane, { dx = 0, dy = 0, angle = 0, scale = 1 }: Planted): Plane => {
  const { width, height } = plane;
  const known = plane.data.every((v) => v - v === 0);
  const filled = known ? plane : { ...plane, data: plane.data.map((v) => (v - v === 0 ? v : 0)) };
  const spline = splineOf(filled);
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const turn = (angle * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn) / scale, Math.sin(turn) / scale];
  const data = new Float32Array(width * height).fill(Number.NaN);
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const [u, v] = [x - cx - dx, y - cy - dy];
      const px = cx + cos * u + sin * v;
      const py = cy - sin * u + cos * v;
      const [column, row] = [Math.floor(px), Math.floor(py)];
      if (column < 1 || column + 2 >= width || row < 1 || row + 2 >= height) continue;
      const [wx, wy] = [weights(px - column), weights(py - row)];
      let sum = 0;
      let whole = true;
      for (let j = 0; j < 4; j++)
        for (let k = 0; k < 4; k++) {
          const at = (row + j - 1) * width + column + k - 1;
          whole &&= known || plane.data[at]! - plane.data[at]! === 0;
          sum += wy[j]! * wx[k]! * spline[at]!;
        }
      if (whole) data[i] = sum;
    }
  return { width, height, data };
};

/** Noise of a pixel from its second differences, which hardly see a nebula (J. Immerkær, CVIU 64(2) 300–302, 1996). */
export const noiseOf = ({ width, height, data }: Plane): number => {
  const found: number[] = [];
  for (let y = 1; y < height - 1; y++)
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const row = (k: number) => data[k - 1]! - 2 * data[k]! + data[k + 1]!;
      const v = Math.abs(row(i - width) - 2 * row(i) + row(i + width)) / 6;
      if (v - v === 0) found.push(v);
    }
  return 1.4826 * Float64Array.from(found).sort()[found.length >> 1]!;
};

/** Adds normal noise. */
export const noisy = (plane: Plane, sigma: number, seed: number): Plane => {
  const rng = random(seed, 23);
  return { ...plane, data: plane.data.map((v) => v + sigma * rng.normal()) };
};

export const crop = ({ width, data }: Plane, left: number, top: number, w: number, h: number): Plane => ({
  width: w,
  height: h,
  data: Float32Array.from({ length: w * h }, (_, i) => data[(top + Math.floor(i / w)) * width + left + (i % w)]!),
});
