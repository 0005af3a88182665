import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mapPoint, similarity } from '../../../lib/measure/registration/similarity.ts';
import { layTiles, readBand, sampleTile, type Tile } from '../../../lib/measure/registration/tiles.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';

const [WIDTH, HEIGHT] = [90, 80];
/** A surface of second order, which cubic convolution with a = −1/2 gives back exactly (Keys 1981). */
const value = (x: number, y: number) => 3 + 2 * x - y + 0.03 * x * x - 0.05 * x * y + 0.02 * y * y;
const plane = Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => 1000 * Math.floor(i / WIDTH) + (i % WIDTH));
const source = planeSource('a.fits', { width: WIDTH, height: HEIGHT, data: plane });
const curved = {
  ...source,
  type: 'f64' as const,
  async readRows(y: number, rows: number, into: Float32Array | Float64Array) {
    for (let i = 0; i < rows * WIDTH; i++) into[i] = value(i % WIDTH, y + Math.floor(i / WIDTH));
  },
};
const centre = { cx: (WIDTH - 1) / 2, cy: (HEIGHT - 1) / 2 };
const sampled = async (from: typeof source, tile: Tile, map: ReturnType<typeof similarity>) => {
  const into = new Float64Array(tile.side ** 2);
  sampleTile(await readBand(from, [tile], map), tile, map, into);
  return into;
};

describe('tiles', () => {
  it('are spread evenly, five along each axis where there is room', () => {
    const rows = layTiles(1200, 800);
    expect(rows.map((row) => row[0]!.y)).toEqual([0, 136, 272, 408, 544]);
    expect(rows[1]!.map(({ x }) => x)).toEqual([0, 236, 472, 708, 944]);
    expect(rows.flat().every(({ side }) => side === 256)).toBe(true);
    // Three of 32 pixels, half of each over the next.
    expect(layTiles(64, 64).map((row) => row.map(({ x, y }) => [x, y]))).toEqual(
      [0, 16, 32].map((y) => [0, 16, 32].map((x) => [x, y])),
    );
    expect(layTiles(63, 900)).toEqual([]);
    expect(layTiles(900, 63)).toEqual([]);
  });

  it('are powers of two that reach from edge to edge', () => {
    const length = fc.integer({ min: 64, max: 9000 });
    fc.assert(
      fc.property(length, length, (width, height) => {
        const rows = layTiles(width, height);
        const { side } = rows[0]![0]!;
        expect([32, 64, 128, 256]).toContain(side);
        expect(Math.min(width, height)).toBeGreaterThanOrEqual(2 * side);
        for (const [places, all] of [
          [rows.map((row) => row[0]!.y), height],
          [rows[0]!.map(({ x }) => x), width],
        ] as const) {
          expect([places[0], places.at(-1)]).toEqual([0, all - side]);
          expect(places).toEqual([...new Set(places)].sort((a, b) => a - b));
          expect(places.length).toBeLessThanOrEqual(5);
        }
      }),
    );
  });
});

describe('the rows of a band', () => {
  const tile = { x: 8, y: 20, side: 32 };
  const rowsOf = async (map: ReturnType<typeof similarity>, at = tile) => {
    const { top, rows, data } = await readBand(source, [at], map);
    expect(data).toHaveLength(rows * WIDTH);
    if (rows > 0) expect(data[5]).toBe(1000 * top + 5);
    return [top, rows];
  };

  it('are those of its tiles and two beyond on either side, within the picture', async () => {
    expect(await rowsOf(similarity(centre))).toEqual([18, 36]);
    expect(await rowsOf(similarity(centre, 0, -5.5))).toEqual([12, 37]);
    expect(await rowsOf(similarity(centre, 0, -20))).toEqual([0, 34]);
    expect(await rowsOf(similarity(centre, 0, 40))).toEqual([58, 22]);
    const { top, rows } = await readBand(source, [tile, { ...tile, y: 40 }], similarity(centre));
    expect([top, rows]).toEqual([18, 56]);
  });

  it('are none where the tile is mapped beyond the picture', async () => {
    expect((await rowsOf(similarity(centre, 0, 500)))[1]).toBe(0);
    expect((await rowsOf(similarity(centre, 0, -500)))[1]).toBe(0);
  });

  it('hold every corner of a turned tile', async () => {
    const map = similarity(centre, 0, 0, 30);
    const [top, rows] = await rowsOf(map);
    const corners = [0, 31].flatMap((u) => [0, 31].map((v) => mapPoint(map, tile.x + u, tile.y + v)[1]));
    expect(top).toBe(Math.max(0, Math.floor(Math.min(...corners)) - 2));
    expect(top! + rows!).toBe(Math.min(HEIGHT, Math.ceil(Math.max(...corners)) + 3));
  });
});

describe('a tile seen through a map', () => {
  const tile = { x: 20, y: 16, side: 32 };

  it('shows pixels as they are where the map moves by whole ones', async () => {
    const values = await sampled(source, tile, similarity(centre, 3, -2));
    for (const [u, v] of [
      [0, 0],
      [31, 0],
      [7, 31],
    ] as const)
      expect(values[v * 32 + u]).toBe(1000 * (16 + v - 2) + 20 + u + 3);
  });

  it('shows nothing beyond the picture', async () => {
    const values = await sampled(source, { x: 70, y: 60, side: 32 }, similarity(centre, 1, 1));
    // Columns 71…89 and rows 61…79 are there.
    const there = Array.from(values, (v) => !Number.isNaN(v));
    expect(there).toEqual(Array.from(values, (_, i) => i % 32 < 19 && Math.floor(i / 32) < 19));
    const before = await sampled(source, { x: 0, y: 0, side: 32 }, similarity(centre, -3, -4));
    expect(before.findIndex((v) => !Number.isNaN(v))).toBe(4 * 32 + 3);
    expect(before[4 * 32 + 3]).toBe(0);
  });

  it.each([
    [0.25, -0.5, 0, 1],
    [1.5, 0, 10, 1],
    [-2, 3, -25, 1.05],
    [0, 0, 0, 0.9],
  ])('follows a curved surface: shift %d, %d, turn %d°, scale %d', async (dx, dy, turn, scale) => {
    const map = similarity(centre, dx, dy, turn, scale);
    const values = await sampled(curved, tile, map);
    for (let i = 0; i < values.length; i++) {
      const [x, y] = mapPoint(map, tile.x + (i % 32), tile.y + Math.floor(i / 32));
      expect(Math.abs(values[i]! - value(x, y))).toBeLessThan(1e-8);
    }
  });

  it('shows nothing where interpolation would need what is not there', async () => {
    const map = similarity(centre, 0.5, 0.5);
    const edge = await sampled(curved, { x: 0, y: 0, side: 32 }, map);
    // At 0.5 the pixel −1 is needed, at 1.5 it is not.
    expect([edge[0], edge[1], edge[32], edge[64], edge[320]].every(Number.isNaN)).toBe(true);
    expect(edge[33]).toBeCloseTo(value(1.5, 1.5), 9);
    const far = await sampled(curved, { x: WIDTH - 32, y: HEIGHT - 32, side: 32 }, map);
    // The last pixels are 89 and 79: 87.5 and 77.5 are the last places with two beyond.
    expect(far[29 * 32 + 29]).toBeCloseTo(value(87.5, 77.5), 9);
    expect([far[29 * 32 + 30], far[30 * 32 + 29]].every(Number.isNaN)).toBe(true);
  });
});
