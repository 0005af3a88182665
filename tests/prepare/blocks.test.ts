import { describe, expect, it } from 'vitest';
import { createMask, mark } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { blockSize, collectBlocks, measureBlocks } from '../../lib/prepare/background/blocks.ts';
import { boxBackground, darkBlocks } from '../../lib/prepare/background/level.ts';
import { pixelNoise } from '../../lib/prepare/background/pixel-noise.ts';

/** 5 × 3 blocks of 16 pixels, the last column and row cut to 7; the level of a block is 100 · row + column. */
const [WIDTH, HEIGHT] = [4 * 16 + 7, 2 * 16 + 7];
const tiled = (change: (x: number, y: number) => number | undefined = () => undefined) => {
  const data = new Float32Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) data[y * WIDTH + x] = change(x, y) ?? 100 * Math.floor(y / 16) + Math.floor(x / 16);
  return planeSource('tiles.fits', { width: WIDTH, height: HEIGHT, data });
};

describe('blocks', () => {
  it('cover the picture, each with its level, its pixels and their middle', async () => {
    const { size, width, height, blocks } = await measureBlocks(tiled());
    expect([size, width, height, blocks.length]).toEqual([16, WIDTH, HEIGHT, 15]);
    for (const [i, block] of blocks.entries()) {
      const [row, column] = [Math.floor(i / 5), i % 5];
      const [w, h] = [column === 4 ? 7 : 16, row === 2 ? 7 : 16];
      expect(block).toEqual({
        x: 16 * column + (w - 1) / 2,
        y: 16 * row + (h - 1) / 2,
        count: w * h,
        level: 100 * row + column,
        noise: 0,
        pixelNoise: 0,
      });
    }
  });

  it('are about two thousand, of 16 to 128 pixels', () => {
    expect([blockSize(100, 100), blockSize(6248, 4176), blockSize(30000, 30000)]).toEqual([16, 112, 128]);
  });

  it('look at no more than 64 × 64 pixels, evenly spread', async () => {
    const side = 5000;
    const seen = new Set<number>();
    const source = {
      ...planeSource('large.fits', { width: side, height: 104, data: new Float32Array(0) }),
      height: 3500,
      async readRows(y: number, rows: number, into: Float32Array | Float64Array) {
        for (let i = 0; i < rows * side; i++) into[i] = i % side;
        seen.add(y);
      },
    };
    const size = blockSize(side, 3500);
    const { blocks } = await measureBlocks(source);
    const looks = Math.ceil(size / Math.ceil(size / 64));
    expect(blocks[0]!.count).toBe(looks ** 2);
    expect(blocks[0]!.level).toBe(((looks - 1) * Math.ceil(size / 64)) / 2);
    expect(seen.size).toBe(Math.ceil(3500 / size));
  });

  it('count where half of what is allowed is defined, and at least 16 pixels', async () => {
    const holes = (count: number) => tiled((x, y) => (x < 16 && y * 16 + x < count ? Number.NaN : undefined));
    expect((await measureBlocks(holes(128))).blocks).toHaveLength(15);
    expect((await measureBlocks(holes(129))).blocks).toHaveLength(14);
    const include = [{ x: 0, y: 0, width: 4, height: 4 }];
    expect((await measureBlocks(tiled(), { include })).blocks.map(({ count }) => count)).toEqual([16]);
    const narrow = [{ x: 0, y: 0, width: 3, height: 5 }];
    expect((await measureBlocks(tiled(), { include: narrow })).blocks).toEqual([]);
    // Half of what a box allows suffices.
    const half = tiled((x, y) => (x < 4 && y < 8 ? Number.NaN : undefined));
    const boxes = [{ x: 0, y: 0, width: 8, height: 8 }];
    expect((await measureBlocks(half, { include: boxes })).blocks.map(({ count }) => count)).toEqual([32]);
  });

  it('leave out boxes, masked pixels and infinities', async () => {
    const exclude = [{ x: 16, y: 0, width: 16, height: 16 }];
    expect((await measureBlocks(tiled(), { exclude })).blocks.map(({ level }) => level)).not.toContain(1);
    const mask = createMask(WIDTH, HEIGHT);
    for (let y = 0; y < 16; y++) for (let x = 0; x < 8; x++) mark(mask, x, y);
    const [first] = (await measureBlocks(tiled(), { mask })).blocks;
    expect([first!.count, first!.x]).toEqual([128, 11.5]);
    const infinite = tiled((x, y) => (x === 3 && y === 3 ? Number.POSITIVE_INFINITY : undefined));
    expect((await measureBlocks(infinite)).blocks[0]).toMatchObject({ count: 255, level: 0, noise: 0 });
  });

  it('clip what stands out, and tell the noise that remains', async () => {
    const noisy = tiled((x, y) => (x < 16 && y < 16 ? (x === 5 && y === 5 ? 1000 : (x + y) % 2 ? 1 : -1) : undefined));
    const [block] = (await measureBlocks(noisy)).blocks;
    expect(block!.noise).toBeCloseTo(1, 2);
    expect(Math.abs(block!.level)).toBeLessThanOrEqual(1);
  });

  it('tell progress, and stop when asked', async () => {
    const seen: number[] = [];
    await measureBlocks(tiled(), { progress: (done) => seen.push(done) });
    expect(seen).toEqual([16 / HEIGHT, 32 / HEIGHT, 1]);
    await expect(measureBlocks(tiled(), { signal: AbortSignal.abort() })).rejects.toMatchObject({ tag: 'cancelled' });
  });

  it('are left to others where there are any', async () => {
    const grid = { width: 1, height: 1, size: 16, blocks: [] };
    const executor = { count: () => undefined, blocks: async () => grid };
    expect(await measureBlocks(tiled(), { executor })).toBe(grid);
    const absent = { count: () => undefined, blocks: () => undefined };
    expect((await measureBlocks(tiled(), { executor: absent })).blocks).toHaveLength(15);
  });

  it('are the same from rows in pieces', async () => {
    const source = tiled();
    const data = new Float32Array(WIDTH * HEIGHT);
    await source.readRows(0, HEIGHT, data);
    for (const piece of [1, 5, 16, HEIGHT]) {
      const collected = collectBlocks(source, {});
      for (let y = 0; y < HEIGHT; y += piece) {
        const rows = Math.min(piece, HEIGHT - y);
        collected.add(data.subarray(y * WIDTH, (y + rows) * WIDTH), y, rows);
      }
      expect(collected.blocks).toEqual((await measureBlocks(source)).blocks);
    }
  });
});

describe('levels', () => {
  const block = (level: number, noise: number, own = 1) => ({ x: 0, y: 0, count: 99, level, noise, pixelNoise: own });
  const grid = (blocks: ReturnType<typeof block>[]) => ({ width: 9, height: 9, size: 16, blocks });

  it('come from the darkest twentieth of the blocks, one at least', () => {
    const blocks = Array.from({ length: 100 }, (_, i) => block(100 - i, i));
    expect(darkBlocks(grid(blocks))).toEqual({ level: 3, noise: 97 });
    expect(darkBlocks(grid([block(7, 2), block(5, 3)]))).toEqual({ level: 5, noise: 3 });
    expect(darkBlocks(grid([]))).toBeUndefined();
  });

  it('have the noise of the middle block, of those that have any', () => {
    expect(pixelNoise(grid([block(1, 1, 5), block(1, 1, 3), block(1, 1, Number.NaN), block(1, 1, 90)]))).toBe(5);
    expect(pixelNoise(grid([]))).toBeNaN();
  });

  it('come from the defined pixels of a box, as far as it lies in the picture', async () => {
    const source = tiled((x, y) => (x === 0 ? Number.NaN : x === 1 && y === 0 ? 5 : undefined));
    expect(await boxBackground(source, { x: 0, y: 0, width: 2, height: 2 })).toMatchObject({ level: 2.5, noise: 2.5 });
    expect(await boxBackground(source, { x: 64, y: 32, width: 500, height: 500 })).toMatchObject({
      level: 204,
      noise: 0,
    });
    await expect(boxBackground(source, { x: 0, y: 0, width: 1, height: 9 })).rejects.toMatchObject({
      tag: 'input',
      file: 'tiles.fits',
    });
  });
});
