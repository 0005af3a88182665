import { describe, expect, it } from 'vitest';
import { boxOf, boxWithin } from '../../lib/plane/box.ts';
import { cropped } from '../../lib/plane/cropped.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource, Samples } from '../../lib/plane/plane.ts';
import { rowBuffer } from '../../lib/plane/row-buffer.ts';

/** 7 × 5 pixels, each 10 · its row + its column. */
const source = planeSource('a.fits', {
  width: 7,
  height: 5,
  data: Float32Array.from({ length: 35 }, (_, i) => 10 * Math.floor(i / 7) + (i % 7)),
});

describe('a cropped source', () => {
  it('gives the rows of its box, in blocks of any height', async () => {
    const part = cropped(source, boxOf([2, 1, 3, 4]));
    expect([part.width, part.height, part.file]).toEqual([3, 4, 'a.fits']);
    const into = new Float32Array(14).fill(-1);
    await part.readRows(1, 3, into);
    expect([...into]).toEqual([22, 23, 24, 32, 33, 34, 42, 43, 44, -1, -1, -1, -1, -1]);
    const one = new Float32Array(3);
    await part.readRows(0, 1, one);
    expect([...one]).toEqual([12, 13, 14]);
  });

  it('is no longer what lies in the file', () => {
    const raw = { offset: 0, rowBytes: 28 } as NonNullable<PlaneSource['raw']>;
    expect(cropped({ ...source, raw }, boxOf([0, 0, 7, 5])).raw).toBeUndefined();
  });

  it.each([
    [-1, 0, 3, 3],
    [0, -1, 3, 3],
    [5, 0, 3, 3],
    [0, 3, 3, 3],
  ])('is refused for a box at %d, %d of %d × %d', (...box) => {
    expect(() => cropped(source, boxOf(box))).toThrow(RangeError);
  });

  it.each([
    [0, 0, 7, 5],
    [4, 2, 3, 3],
  ])('may touch the edges: %d, %d, %d × %d', (...box) => {
    expect(() => cropped(source, boxOf(box))).not.toThrow();
  });
});

describe('the part of a box within a picture', () => {
  it.each([
    [
      [1, 2, 3, 2],
      [1, 2, 3, 2],
    ],
    [
      [-2, -3, 4, 5],
      [0, 0, 2, 2],
    ],
    [
      [5, 4, 9, 9],
      [5, 4, 2, 1],
    ],
    [
      [1.9, 0.2, 2.2, 1.9],
      [1, 0, 3, 2],
    ],
    [
      [9, 9, 2, 2],
      [7, 5, 0, 0],
    ],
    [
      [-5, 1, 3, 2],
      [0, 1, 0, 2],
    ],
    [
      [3, 3, -2, -2],
      [3, 3, 0, 0],
    ],
  ] as const)('of %j is %j', (box, wanted) => {
    expect(boxWithin(boxOf(box), source)).toEqual(boxOf(wanted));
  });
});

describe('rows behind another source', () => {
  it('keep their buffer from call to call, but share none between calls at the same time', async () => {
    const given: Samples[] = [];
    const watched: PlaneSource = {
      ...source,
      readRows: (y, rows, into) => {
        given.push(into);
        return source.readRows(y, rows, into);
      },
    };
    const buffer = rowBuffer(watched);
    const seen: number[][] = [];
    const read = (y: number, rows: number) => buffer.read(y, rows, (data) => seen.push([...data]));
    await read(0, 2);
    await read(3, 1);
    expect(given[1]!.buffer).toBe(given[0]!.buffer);
    await Promise.all([read(0, 1), read(1, 1)]);
    expect(given[3]!.buffer).not.toBe(given[2]!.buffer);
    await read(0, 5);
    const row = (y: number) => [0, 1, 2, 3, 4, 5, 6].map((x) => 10 * y + x);
    expect(seen).toEqual([[...row(0), ...row(1)], row(3), row(0), row(1), [0, 1, 2, 3, 4].flatMap(row)]);
  });
});
