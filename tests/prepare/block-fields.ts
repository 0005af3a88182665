import type { Block, BlockGrid } from '../../lib/plane/block-grid.ts';
import { framePosition } from '../../lib/prepare/background/surface.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

/** Noise of a pixel in the fields drawn here, and pixels of a block. */
export const NOISE = 4;
const SIZE = 20;
export const [WIDTH, HEIGHT] = [770, 530];

/** Numbers of a normal distribution (Box and Muller). */
const normals = (next: () => number) => () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());

/** Light and shadow that a field is made of, as functions of the pixel. */
export interface Parts {
  readonly sky: (x: number, y: number) => number;
  readonly light: (x: number, y: number) => number;
  readonly defect: (x: number, y: number) => number;
}

/** The levels that blocks of such a field would have: means over their pixels, with the noise of a median. */
export const drawGrid = ({ sky, light, defect }: Parts, seed: number): BlockGrid => {
  const normal = normals(randomNumbers(seed));
  const blocks: Block[] = [];
  for (let top = 0; top < HEIGHT; top += SIZE)
    for (let left = 0; left < WIDTH; left += SIZE) {
      const [w, h] = [Math.min(SIZE, WIDTH - left), Math.min(SIZE, HEIGHT - top)];
      let level = 0;
      // Sixteen places stand for all pixels of a block.
      for (const i of [0.125, 0.375, 0.625, 0.875])
        for (const j of [0.125, 0.375, 0.625, 0.875]) {
          const [x, y] = [left + i * w - 0.5, top + j * h - 0.5];
          level += (sky(x, y) + light(x, y) + defect(x, y)) / 16;
        }
      const noise = (NOISE * Math.sqrt(Math.PI / 2)) / Math.sqrt(w * h);
      const place = { x: left + (w - 1) / 2, y: top + (h - 1) / 2 };
      blocks.push({ ...place, count: w * h, level: level + noise * normal(), noise: NOISE, pixelNoise: NOISE });
    }
  return { width: WIDTH, height: HEIGHT, size: SIZE, blocks };
};

/** A sky of order 2, a nebula somewhere in the middle, and a defect of a kind, all drawn from a seed. */
export const drawParts = (seed: number, kind: 'none' | 'shadow' | 'glow'): Parts => {
  const next = randomNumbers(seed);
  for (let i = 0; i < 5; i++) next();
  const c = Array.from({ length: 5 }, () => NOISE * 6 * (next() - 0.5));
  const sky = (x: number, y: number) => {
    const [u, v] = [framePosition(x, WIDTH), framePosition(y, HEIGHT)];
    return 300 + c[0]! * u + c[1]! * v + (c[2]! * u * u + c[3]! * u * v + c[4]! * v * v) / 3;
  };
  const [cx, cy] = [WIDTH * (0.4 + 0.2 * next()), HEIGHT * (0.4 + 0.2 * next())];
  const [reach, bright] = [40 + 40 * next(), NOISE * (20 + 200 * next())];
  const light = (x: number, y: number) => bright * Math.exp(-((x - cx) ** 2 + (y - cy) ** 2) / (2 * reach ** 2));
  return { sky, light, defect: drawDefect(seed, kind, FRAME) };
};

/** What a defect is drawn for: pixels of the frame, and the noise of one. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly noise: number;
}

const FRAME: Frame = { width: WIDTH, height: HEIGHT, noise: NOISE };

export const drawDefect = (seed: number, kind: 'none' | 'shadow' | 'glow', frame: Frame): Parts['defect'] => {
  const next = randomNumbers(seed + 1e6);
  for (let i = 0; i < 5; i++) next();
  return kind === 'none' ? () => 0 : kind === 'shadow' ? shadowOf(next, frame) : glowOf(next, frame);
};

/** Something with soft sides reaches in from an edge, 3 to 8 times the noise deep. */
const shadowOf = (next: () => number, { width, height, noise }: Frame) => {
  const edge = Math.floor(4 * next());
  const unit = Math.min(width, height) / 530;
  const [length, middle] = [edge < 2 ? width : height, 0.2 + 0.6 * next()];
  const [half, reach, soft] = [unit * (40 + 50 * next()), unit * (50 + 50 * next()), unit * (8 + 14 * next())];
  const depth = noise * (3 + 5 * next());
  const step = (t: number) => 1 / (1 + Math.exp(-t / soft));
  return (x: number, y: number) => {
    const across = [y, height - 1 - y, x, width - 1 - x][edge]!;
    const along = (edge < 2 ? x : y) - middle * length;
    return -depth * step(reach - across) * step(half - Math.abs(along));
  };
};

/** Light that fades from a corner, 4 to 10 times the noise high. */
const glowOf = (next: () => number, { width, height, noise }: Frame) => {
  const [x0, y0] = [next() < 0.5 ? 0 : width, next() < 0.5 ? 0 : height];
  const unit = Math.min(width, height) / 530;
  const [high, length] = [noise * (4 + 6 * next()), unit * (45 + 90 * next())];
  return (x: number, y: number) => high * Math.exp(-Math.hypot(x - x0, y - y0) / length);
};
