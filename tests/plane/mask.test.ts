import { describe, expect, it } from 'vitest';
import { countMarked, createMask, eachMarked, isMarked, mark, uniteMasks } from '../../lib/plane/mask.ts';
import { hidePixels, planeSource } from '../../lib/plane/memory-plane.ts';

const WIDTH = 21;
const HEIGHT = 6;
const SIZE = WIDTH * HEIGHT;
/** Marks the pixels (counted row by row) that `which` names. */
const masked = (which: (index: number) => boolean) => {
  const mask = createMask(WIDTH, HEIGHT);
  for (let i = 0; i < SIZE; i++) if (which(i)) mark(mask, i % WIDTH, Math.floor(i / WIDTH));
  return mask;
};
const indices = (which: (index: number) => boolean) => Array.from({ length: SIZE }, (_, i) => i).filter(which);
const fifths = (i: number) => i % 5 === 0;
const sevenths = (i: number) => i % 7 === 3;

describe('a mask', () => {
  it('marks just what it is told', () => {
    const mask = masked(fifths);
    expect(indices((i) => isMarked(mask, i % WIDTH, Math.floor(i / WIDTH)))).toEqual(indices(fifths));
    expect(countMarked(mask)).toBe(indices(fifths).length);
    expect(countMarked(createMask(WIDTH, HEIGHT))).toBe(0);
    expect(countMarked(masked(() => true))).toBe(SIZE);
  });

  it.each([
    [0, 6],
    [0, 1],
    [2, 3],
    [5, 1],
    [4, 0],
  ])('visits the marked pixels of rows from %d, %d of them, counted from the block’s start', (y, rows) => {
    const visited: number[] = [];
    eachMarked(masked(fifths), y, rows, (index) => visited.push(index));
    const from = y * WIDTH;
    const wanted = indices((i) => fifths(i) && i >= from && i < from + rows * WIDTH).map((i) => i - from);
    expect(visited).toEqual(wanted);
  });

  it('unites with another, and with none; both stay as they are', () => {
    const [a, b] = [masked(fifths), masked(sevenths)];
    expect(uniteMasks(a, b)).toEqual(masked((i) => fifths(i) || sevenths(i)));
    expect([a, b]).toEqual([masked(fifths), masked(sevenths)]);
    expect(uniteMasks(a, undefined)).toEqual(a);
  });
});

describe('hidden pixels', () => {
  const plane = { width: WIDTH, height: HEIGHT, data: Float32Array.from({ length: SIZE }, (_, i) => i) };

  it('are undefined in every block of rows', async () => {
    const source = hidePixels(planeSource('a.fits', plane), masked(fifths));
    for (const [y, rows] of [
      [0, 6],
      [3, 2],
    ] as const) {
      const rowsRead = new Float32Array(rows * WIDTH);
      await source.readRows(y, rows, rowsRead);
      const wanted = Array.from({ length: rows * WIDTH }, (_, k) => k + y * WIDTH);
      expect([...rowsRead]).toEqual(wanted.map((i) => (fifths(i) ? Number.NaN : i)));
    }
    expect(source.raw).toBeUndefined();
  });

  it('are told to those that read stored rows, with what was hidden before', () => {
    const raw = {
      offset: 0,
      rowBytes: 4 * WIDTH,
      type: 'f32',
      bigEndian: false,
      zero: 0,
      scale: 1,
      blank: undefined,
      bottomUp: false,
    } as const;
    const stored = { ...planeSource('a.fits', plane), raw };
    const once = hidePixels(stored, masked(fifths));
    expect(once.raw).toEqual({ ...raw, hidden: masked(fifths) });
    expect(hidePixels(once, masked(sevenths)).raw!.hidden).toEqual(masked((i) => fifths(i) || sevenths(i)));
  });
});
