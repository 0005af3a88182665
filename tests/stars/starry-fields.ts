import { planeSource } from '../../lib/plane/memory-plane.ts';
import { radiusSquared, type StarShape } from '../../lib/stars/shape.ts';
import type { PackedStars, StarList } from '../../lib/stars/star-list.ts';
import { packStars } from '../../lib/stars/star-list.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { normals } from '../smooth/fields.ts';

/** A random list of stars in a frame; peaks from below the noise to far above it. */
export const randomList = (
  seed: number,
  { width, height, count = 60, lines = 3 }: { width: number; height: number; count?: number; lines?: number },
): StarList => {
  const next = randomNumbers(seed);
  const places = Array.from({ length: count }, () => [next() * (width - 1), next() * (height - 1)] as const);
  places.sort((a, b) => Math.fround(a[1]) - Math.fround(b[1]) || a[0] - b[0]);
  const shape = (): StarShape => ({
    alpha: 0.6 + 3 * next(),
    beta: 2 + 2 * next(),
    e1: 0.4 * (next() - 0.5),
    e2: 0.4 * (next() - 0.5),
  });
  return {
    lines: Array.from({ length: lines }, (_, k) => ({
      name: 'SHO'[k]!,
      shape: shape(),
      noise: 1 + 4 * next(),
      perCount: next() < 0.5 ? 0 : 0.1 * next(),
      level: 100,
      ...(next() < 0.5 && { full: 20000 }),
    })),
    count,
    x: Float32Array.from(places, ([x]) => x),
    y: Float32Array.from(places, ([, y]) => y),
    snr: Float32Array.from(places, () => 5 + 100 * next()),
    peaks: Array.from({ length: lines }, () => Float32Array.from(places, () => 10 ** (6 * next() - 1))),
    under: Array.from({ length: lines }, () => Float32Array.from(places, () => 100 + 50 * next())),
  };
};

/** Lines that show the stars of a list over an even sky with noise; some pixels undefined where asked for. */
export const starryLines = (
  list: StarList,
  seed: number,
  { width, height, holes = false }: { width: number; height: number; holes?: boolean },
): Float32Array[] => {
  const normal = normals(seed);
  const next = randomNumbers(seed + 1);
  return list.lines.map(({ shape, noise, full = Number.POSITIVE_INFINITY }, k) => {
    const line = Float32Array.from({ length: width * height }, () => 100 + noise * normal());
    for (let s = 0; s < list.count; s++) {
      const peak = list.peaks[k]![s]!;
      for (let i = 0; i < line.length; i++) {
        const [dx, dy] = [(i % width) - list.x[s]!, Math.floor(i / width) - list.y[s]!];
        if (dx * dx + dy * dy < 900) line[i]! += peak * (1 + radiusSquared(shape, dx, dy)) ** -shape.beta;
      }
    }
    for (let i = 0; i < line.length; i++) line[i] = Math.min(full, line[i]!);
    if (holes)
      for (let h = 0; h < 40; h++)
        line[Math.floor(next() * line.length)] = h % 3 ? Number.NaN : Number.POSITIVE_INFINITY;
    return line;
  });
};

/** Lines in memory as sources. */
export const sourcesOf = (lines: readonly Float32Array[], width: number) =>
  lines.map((data, k) => planeSource(`${'SHO'[k]}.fits`, { width, height: data.length / width, data }));

export const packed = (list: StarList): PackedStars => packStars(list);
