import type { CheckLine } from '../../lib/check/find-defects.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { random } from '../../samples/scene/random.ts';

/** Of a frame, where no other is asked for. */
export const SIZE = { width: 480, height: 360 };
export type Size = typeof SIZE;
export const NAMES = ['S', 'H', 'O'] as const;
export const NOISE = 10;
const SKY = 600;

export type Planes = Record<(typeof NAMES)[number], Float32Array>;

/** Deterministic numbers of a seed: uniform from a to b. */
export const drawsOf = (seed: number) => {
  const rng = random(seed, 9);
  return (a: number, b: number) => a + (b - a) * rng.uniform();
};

const eachPixel = ({ width, height }: Size, visit: (x: number, y: number, i: number) => void): void => {
  for (let y = 0, i = 0; y < height; y++) for (let x = 0; x < width; x++, i++) visit(x, y, i);
};

/** A frame of faint nebula and stars in three lines, with noise; nothing is wrong with it. */
export const cleanPlanes = (seed: number, size: Size = SIZE): Planes => {
  const rng = random(seed, 1);
  const between = drawsOf(seed);
  const light = NAMES.map(() => new Float32Array(size.width * size.height).fill(SKY));
  const strengths = [between(10, 30), between(60, 120), between(30, 60)];
  for (let cloud = 0; cloud < 5; cloud++) {
    const [cx, cy, r] = [between(0, size.width), between(0, size.height), between(60, 200)];
    const own = strengths.map((strength) => strength * between(0.6, 1.4));
    eachPixel(size, (x, y, i) => {
      const bell = Math.exp(-((x - cx) ** 2 + 1.5 * (y - cy) ** 2) / (r * r));
      for (const [k, of] of own.entries()) light[k]![i]! += of * bell;
    });
  }
  for (let star = 0; star < 130; star++) {
    const [cx, cy] = [between(0, size.width), between(0, size.height)];
    const bright = 30 * Math.exp(between(0, 5));
    for (let y = Math.max(0, Math.floor(cy) - 12); y < Math.min(size.height, cy + 12); y++)
      for (let x = Math.max(0, Math.floor(cx) - 12); x < Math.min(size.width, cx + 12); x++) {
        const shape = (1 + ((x - cx) ** 2 + (y - cy) ** 2) / 2.8) ** -2.8;
        for (const [k, share] of [0.7, 1, 0.8].entries()) light[k]![y * size.width + x]! += share * bright * shape;
      }
  }
  for (const plane of light) for (let i = 0; i < plane.length; i++) plane[i]! += NOISE * rng.normal();
  return { S: light[0]!, H: light[1]!, O: light[2]! };
};

export interface PlantedTrail {
  readonly x: number;
  readonly y: number;
  /** Radians. */
  readonly angle: number;
  /** Half of its length; reaches beyond the frame where large. */
  readonly half: number;
  readonly width: number;
  readonly depth: number;
}

/** Adds a straight line with soft edges, and gives its length inside the frame. */
export const plantTrail = (plane: Float32Array, { x, y, angle, half, width, depth }: PlantedTrail): number => {
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  let area = 0;
  eachPixel(SIZE, (u, v, i) => {
    const along = (u - x) * dx + (v - y) * dy;
    const off = Math.abs((v - y) * dx - (u - x) * dy);
    if (Math.abs(along) > half || off > width / 2 + 3) return;
    plane[i]! += depth / (1 + Math.exp((off - width / 2) / 0.5));
    if (off < 0.5) area++;
  });
  return area * Math.max(Math.abs(dx), Math.abs(dy)) ** -1;
};

/** Multiplies the noise right of a slanted line. */
export const plantSeam = (
  clean: Float32Array,
  seed: number,
  top: number,
  bottom: number,
  factor: number,
  size: Size = SIZE,
): void => {
  const rng = random(seed, 3);
  const more = NOISE * Math.sqrt(factor * factor - 1);
  eachPixel(size, (x, y, i) => {
    if (x > top + ((bottom - top) * y) / (size.height - 1)) clean[i]! += more * rng.normal();
  });
};

export const linesOf = (planes: Planes, size: Size = SIZE): CheckLine[] =>
  NAMES.map((name) => ({ name, source: planeSource(`${name}.fits`, { ...size, data: planes[name] }) }));

/** Frames with trails in three lines, which an independent program has looked at too: see tests/golden/check.json. */
export const judgedPlanes = (): Planes => {
  const planes = cleanPlanes(9101);
  plantTrail(planes.S, { x: 200, y: 150, angle: 0.35, half: 2000, width: 3, depth: 6 });
  plantTrail(planes.H, { x: 260, y: 200, angle: 2.2, half: 2000, width: 6, depth: 5 });
  plantTrail(planes.O, { x: 240, y: 170, angle: 1.2, half: 2000, width: 2, depth: 10 });
  return planes;
};
