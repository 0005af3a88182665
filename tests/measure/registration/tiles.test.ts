import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layTiles, tilesAt } from '../../../lib/measure/registration/tiles.ts';

describe('tiles', () => {
  it('are up to six along each axis, spread evenly', () => {
    const tiles = layTiles(590, 584);
    expect(tiles.slice(0, 4).map(({ x }) => x)).toEqual([10, 157, 305, 452]);
    expect(tiles).toHaveLength(16);
    expect(layTiles(480, 320)).toHaveLength(30);
    expect(layTiles(63, 900)).toEqual([]);
    expect(layTiles(900, 63)).toEqual([]);
  });

  it('lie inside the frame and not over one another', () => {
    const length = fc.integer({ min: 64, max: 9000 });
    fc.assert(
      fc.property(length, length, (width, height) => {
        const tiles = layTiles(width, height);
        const { side } = tiles[0]!;
        expect([32, 64, 128, 256]).toContain(side);
        for (const { x, y } of tiles) {
          expect(Math.min(x, y, width - side - x, height - side - y)).toBeGreaterThanOrEqual(0);
          for (const other of tiles)
            if (other.x !== x || other.y !== y)
              expect(Math.max(Math.abs(other.x - x), Math.abs(other.y - y))).toBeGreaterThanOrEqual(side);
        }
        expect(tiles.length).toBeLessThanOrEqual(36);
      }),
      { numRuns: 30 },
    );
  });

  it('of a shrunk picture cover the same places, unless they are too small', () => {
    const tiles = layTiles(512, 512);
    expect(tilesAt(4, tiles).map(({ side }) => side)).toEqual(tiles.map(() => 32));
    expect(tilesAt(2, tiles)[5]).toEqual({ x: tiles[5]!.x / 2, y: tiles[5]!.y / 2, side: 64 });
    expect(tilesAt(4, layTiles(100, 100))).toEqual([]);
    expect(tilesAt(2, [])).toEqual([]);
  });
});
