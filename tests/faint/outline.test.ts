import { describe, expect, it } from 'vitest';
import { type Blobs, blobsOf } from '../../lib/faint/blobs.ts';
import { ringsAround } from '../../lib/faint/trace.ts';
import { boxAround, rowWithin } from '../../lib/plane/outline.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

/** Blobs one by one, by walking from bin to bin. */
const flooded = (width: number, height: number, inside: Uint8Array): number => {
  const left = inside.slice();
  let count = 0;
  for (let start = 0; start < left.length; start++) {
    if (left[start] === 0) continue;
    count++;
    const open = [start];
    left[start] = 0;
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const [x, y] = [at % width, Math.floor(at / width)];
      for (const [u, v] of [
        [x + 1, y],
        [x - 1, y],
        [x, y + 1],
        [x, y - 1],
      ] as const) {
        if (u < 0 || v < 0 || u >= width || v >= height || left[v * width + u] === 0) continue;
        left[v * width + u] = 0;
        open.push(v * width + u);
      }
    }
  }
  return count;
};

const randomGrid = (seed: number) => {
  const next = randomNumbers(seed);
  const [width, height] = [1 + Math.floor(40 * next()), 1 + Math.floor(30 * next())];
  const share = next();
  return { width, height, inside: Uint8Array.from({ length: width * height }, () => Number(next() < share)) };
};

const runsOf = ({ runs }: Blobs, blob: number) => runs.filter((run) => run.blob === blob);

describe('blobs and their outlines', () => {
  it('are those that walking from bin to bin finds, and hold the bins that they were drawn around', () => {
    for (let seed = 0; seed < 60; seed++) {
      const { width, height, inside } = randomGrid(seed);
      const blobs = blobsOf(width, height, (i) => inside[i] === 1);
      expect(blobs.count).toBe(flooded(width, height, inside));
      const drawn = new Uint8Array(width * height);
      for (let blob = 0; blob < blobs.count; blob++) {
        const rings = ringsAround(runsOf(blobs, blob));
        const box = boxAround(rings);
        for (let y = box.y; y < box.y + box.height; y++) {
          const row = rowWithin(rings, y);
          for (let k = 0; k < row.length; k += 2)
            for (let x = row[k]!; x < row[k + 1]!; x++) {
              expect(drawn[y * width + x]).toBe(0);
              drawn[y * width + x] = 1;
            }
        }
      }
      expect(drawn).toEqual(inside);
    }
  });

  it('take polygons by the middles of pixels', () => {
    const box = [3, 2, 7, 2, 7, 4, 3, 4];
    expect(rowWithin([box], 1)).toEqual([]);
    expect(rowWithin([box], 3)).toEqual([3, 7]);
    expect(rowWithin([[0, 0, 10, 0, 0, 10]], 4)).toEqual([0, 5]);
    expect(boxAround([])).toEqual({ x: 0, y: 0, width: 0, height: 0 });
  });
});
