import type { LineNoise } from '../../lib/smooth/noise-model.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

/** Normal deviates (Box & Muller 1958). */
export const normals = (seed: number) => {
  const next = randomNumbers(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
};

export const NOISE: readonly LineNoise[] = [
  { level: 100, variance: 9, perCount: 0.5, neighbours: 0 },
  { level: 50, variance: 0.25, perCount: 0.05, neighbours: 0 },
  { level: 0, variance: 4, perCount: 0, neighbours: 0 },
];

/** What the three lines of a small field show without noise: a cloud, waves and two stars. */
export const light = (x: number, y: number, width: number, height: number): number => {
  const cloud = 20 * Math.exp(-((x - width / 2) ** 2 + (y - height / 3) ** 2) / 400);
  const star = (at: number, down: number, peak: number) => peak * Math.exp(-((x - at) ** 2 + (y - down) ** 2) / 4);
  const all =
    cloud + 6 * Math.sin(x / 5 + y / 9) + star(width / 4, height / 2, 300) + star(0.7 * width, 0.6 * height, 90);
  return Math.max(0, all);
};

const SHARE = [0.4, 1, 0.3] as const;

/** Three lines with noise; with holes, an edge without data and a block of it where asked for. */
export const field = (width: number, height: number, seed: number, holes: boolean): Float32Array[] => {
  const normal = normals(seed);
  const planes = NOISE.map(({ level, variance }, k) =>
    Float32Array.from({ length: width * height }, (_, i) => {
      const [x, y] = [i % width, Math.floor(i / width)];
      return level + SHARE[k]! * light(x, y, width, height) + Math.sqrt(variance) * normal();
    }),
  );
  if (!holes) return planes;
  const next = randomNumbers(seed + 1);
  for (let i = 0; i < 60; i++)
    planes[i % 3]![Math.floor(next() * width * height)] = i % 4 ? Number.NaN : Number.POSITIVE_INFINITY;
  for (let y = 0; y < height; y++) planes[1]!.fill(Number.NaN, y * width, y * width + 9 + (y >> 3));
  for (let y = 40; y < 52; y++) planes[0]!.fill(Number.NaN, y * width + 60, y * width + 75);
  return planes;
};

/** Three lines of one wide cloud, the second much the strongest, as broad as no scale. */
export const calmField = (width: number, height: number, seed: number): Float32Array[] => {
  const normal = normals(seed);
  return NOISE.map(({ level, variance }, k) =>
    Float32Array.from({ length: width * height }, (_, i) => {
      const distance = (i % width) ** 2 + Math.floor(i / width) ** 2;
      return level + [1, 20, 1][k]! * Math.exp(-distance / (0.1 * width * height)) + Math.sqrt(variance) * normal();
    }),
  );
};
