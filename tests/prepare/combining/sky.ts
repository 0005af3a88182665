import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { random } from '../../../samples/scene/random.ts';

/** A sky of nebula and stars, as tests of combining draw it. */
export interface Sky {
  readonly width: number;
  readonly height: number;
  readonly light: Float64Array;
}

/** Broad clouds on a pedestal of 1000 and stars of about 1 to `brightest` counts, each a Gaussian of deviation `seeing` px. */
export const drawSky = (
  seed: number,
  { width = 480, height = 360, stars = 120, seeing = 1.2, right = 0, down = 0, brightest = 4.3 } = {},
): Sky => {
  const rng = random(seed, 1);
  const light = new Float64Array(width * height).fill(1000);
  const bumps = Array.from({ length: 6 }, () => [
    rng.uniform() * width,
    rng.uniform() * height,
    40 + 100 * rng.uniform(),
    60 + 300 * rng.uniform(),
  ]);
  for (const [cx, cy, size, peak] of bumps)
    add({ width, height, light }, cx! + right, cy! + down, size!, peak!, Number.POSITIVE_INFINITY);
  for (let k = 0; k < stars; k++) {
    const [x, y, flux] = [
      rng.uniform() * width,
      rng.uniform() * height,
      10 ** (1.5 + (brightest - 1.5) * rng.uniform()),
    ];
    add({ width, height, light }, x + right, y + down, seeing, flux / seeing ** 2, 9 * seeing);
  }
  return { width, height, light };
};

const add = (
  { width, height, light }: Sky,
  cx: number,
  cy: number,
  size: number,
  peak: number,
  reach: number,
): void => {
  for (let y = Math.max(0, Math.ceil(cy - reach)); y < Math.min(height, cy + reach); y++)
    for (let x = Math.max(0, Math.ceil(cx - reach)); x < Math.min(width, cx + reach); x++)
      light[y * width + x]! += peak * Math.exp(-((x - cx) ** 2 + (y - cy) ** 2) / (2 * size ** 2));
};

/** The sky with normal noise. */
export const expose = ({ light }: Sky, sigma: number, seed: number): Float32Array => {
  const rng = random(seed, 2);
  return Float32Array.from(light, (v) => v + sigma * rng.normal());
};

export const asSource = (file: string, { width, height }: Sky, data: Float32Array): PlaneSource =>
  planeSource(file, { width, height, data });

/** Moved half a pixel left and up by bilinear interpolation, which halves the noise of a pixel. */
export const movedHalf = ({ width, height }: Sky, data: Float32Array): Float32Array => {
  const at = (x: number, y: number) => data[Math.min(height - 1, y) * width + Math.min(width - 1, x)]!;
  return data.map((_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    return (at(x, y) + at(x + 1, y) + at(x, y + 1) + at(x + 1, y + 1)) / 4;
  });
};

/** A straight trail through the frame: the picture with it, and the pixels within two of its middle. */
export const withTrail = ({ width, height }: Sky, data: Float32Array, seed: number, peak: number) => {
  const rng = random(seed, 3);
  const [angle, cx, cy] = [
    Math.PI * rng.uniform(),
    width * (0.3 + 0.4 * rng.uniform()),
    height * (0.3 + 0.4 * rng.uniform()),
  ];
  const crossed = data.slice();
  const core: number[] = [];
  for (let i = 0; i < data.length; i++) {
    const across = ((i % width) - cx) * Math.sin(angle) - (Math.floor(i / width) - cy) * Math.cos(angle);
    crossed[i]! += peak * Math.exp(-(across ** 2) / (2 * 1.2 ** 2));
    if (Math.abs(across) < 2) core.push(i);
  }
  return { crossed, core };
};

export const pixelsOf = async (source: PlaneSource): Promise<Float32Array> => {
  const into = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, into);
  return into;
};
