import { describe, expect, it } from 'vitest';
import type { Block, BlockGrid } from '../../lib/plane/block-grid.ts';
import { framePosition, surfaceAt } from '../../lib/prepare/background/surface.ts';
import { surfacePicture } from '../../lib/render/surface-picture.ts';

/** A surface that rises by 100 from left to right, on 4 × 3 blocks of 16 pixels. */
const surface = { order: 1, coefficients: [1000, 50, 0] };
const SIZE = { width: 64, height: 48, size: 16 };
const level = (x: number, y: number) => surfaceAt(surface, framePosition(x, 64), framePosition(y, 48));
const block = (column: number, row: number, more = 0): Block => {
  const [x, y] = [16 * column + 7.5, 16 * row + 7.5];
  return { x, y, count: 256, level: level(x, y) + more, noise: 1, pixelNoise: 1 };
};
const all = Array.from({ length: 12 }, (_, i) => [i % 4, Math.floor(i / 4)] as const);

const drawn = (blocks: readonly Block[], used = blocks.map(() => true)) => {
  const grid: BlockGrid = { ...SIZE, blocks };
  const { width, height, bands, data } = surfacePicture(grid, { surface, used, rms: 1 });
  const cell = width / 4;
  const at = (x: number, y: number) => [...data.subarray(3 * (y * width + x), 3 * (y * width + x) + 3)];
  /** A pixel of a block by its place in it, 0…1. */
  const inBlock = (column: number, row: number, u: number, v: number) =>
    at(Math.floor((column + u) * cell), Math.floor((row + v) * cell));
  return { width, height, bands, data, cell, at, inBlock };
};

describe('the picture of a background surface', () => {
  it('has the shape of the blocks, and is grey, dark where it is low and bright where it is high', () => {
    const { width, height, bands, data, at } = drawn(all.map(([c, r]) => block(c, r)));
    expect([width / height, bands, data.length]).toEqual([4 / 3, 3, 3 * width * height]);
    expect(Math.max(width, height)).toBeGreaterThan(240);
    const row = Array.from({ length: width }, (_, x) => at(x, 2));
    for (const pixel of row) expect(new Set(pixel).size).toBe(1);
    for (let x = 1; x < width; x++) expect(row[x]![0]).toBeGreaterThanOrEqual(row[x - 1]![0]!);
    expect(row.at(-1)![0]! - row[0]![0]!).toBeGreaterThan(150);
  });

  it('shows nothing of blocks that agree with it, and others darker or brighter', () => {
    const blocks = all.map(([c, r]) => block(c, r, c === 1 && r === 1 ? 24 : c === 2 && r === 1 ? -24 : 0));
    const { inBlock } = drawn(blocks);
    const contrast = (c: number, r: number) => inBlock(c, r, 0.5, 0.5)[0]! - inBlock(c, r, 0.5, 0.02)[0]!;
    for (const [c, r] of all) {
      if (r !== 1 || c === 0 || c === 3) expect(Math.abs(contrast(c, r))).toBeLessThanOrEqual(2);
    }
    // 24 of 100 of the 207 steps of grey between its ends.
    expect(contrast(1, 1) / (0.24 * 207)).toBeCloseTo(1, 1);
    expect(contrast(2, 1) / (-0.24 * 207)).toBeCloseTo(1, 1);
  });

  it('frames blocks that were rejected in colour, and leaves out those without data', () => {
    const blocks = all
      .filter(([c, r]) => !(c === 3 && r === 2))
      .map(([c, r]) => block(c, r, c === 0 && r === 2 ? 80 : 0));
    const used = blocks.map(({ level: found, x, y }) => found === level(x, y));
    const { width, height, at, inBlock, cell } = drawn(blocks, used);
    const coloured: [number, number][] = [];
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) if (new Set(at(x, y)).size > 1) coloured.push([x, y]);
    const [xs, ys] = [coloured.map(([x]) => x), coloured.map(([, y]) => y)];
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    // A frame of one pixel inside the block, and nothing coloured within it.
    expect([left > 0, right < cell, top > 2 * cell, bottom < 3 * cell]).toEqual([true, true, true, true]);
    expect(right - left).toBe(bottom - top);
    expect(coloured.length).toBe(4 * (right - left));
    expect(inBlock(0, 2, 0.5, 0.5)[0]).toBeGreaterThan(inBlock(0, 2, 0.5, 0.02)[0]! + 100);
    expect(Math.abs(inBlock(3, 2, 0.5, 0.5)[0]! - inBlock(3, 2, 0.5, 0.02)[0]!)).toBeLessThanOrEqual(1);
  });

  it('is one grey where the surface is even', () => {
    const grid = { ...SIZE, blocks: [block(0, 0)] };
    const { data } = surfacePicture(grid, { surface: { order: 1, coefficients: [7, 0, 0] }, used: [true], rms: 0 });
    expect(data.every(Number.isFinite)).toBe(true);
    expect(new Set(data.slice(-300)).size).toBe(1);
  });
});
