import { describe, expect, it } from 'vitest';
import { cropped } from '../../lib/plane/cropped.ts';
import { createMask, isMarked, mark } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { largestFree } from '../../lib/prepare/coverage.ts';
import { random } from '../../samples/scene/random.ts';

const masked = (...rows: string[]) => {
  const mask = createMask(rows[0]!.length, rows.length);
  for (const [y, row] of rows.entries()) for (const [x, c] of [...row].entries()) if (c === '#') mark(mask, x, y);
  return mask;
};

/** Every rectangle tried. */
const slowly = (mask: ReturnType<typeof createMask>): number => {
  let best = 0;
  for (let y0 = 0; y0 < mask.height; y0++)
    for (let x0 = 0; x0 < mask.width; x0++) {
      let right = mask.width;
      for (let y = y0; y < mask.height; y++) {
        let x = x0;
        while (x < right && !isMarked(mask, x, y)) x++;
        right = x;
        best = Math.max(best, (right - x0) * (y - y0 + 1));
      }
    }
  return best;
};

describe('largest rectangle without a hole', () => {
  it('is the whole picture where nothing is missing', () =>
    expect(largestFree(masked('....', '....'))).toEqual({ x: 0, y: 0, width: 4, height: 2 }));
  it('is nothing where all is missing', () => expect(largestFree(masked('##', '##'))).toBeUndefined());
  it('lies inside a turned frame', () =>
    expect(largestFree(masked('###..##', '#.....#', '.......', '#.....#', '##...##'))).toEqual({
      x: 1,
      y: 1,
      width: 5,
      height: 3,
    }));

  it('is never beaten by any other', () => {
    const rng = random(5, 1);
    for (let round = 0; round < 60; round++) {
      const mask = createMask(1 + Math.floor(rng.uniform() * 20), 1 + Math.floor(rng.uniform() * 14));
      const share = rng.uniform() * 0.4;
      for (let y = 0; y < mask.height; y++)
        for (let x = 0; x < mask.width; x++) if (rng.uniform() < share) mark(mask, x, y);
      const box = largestFree(mask);
      const area = box === undefined ? 0 : box.width * box.height;
      expect(area).toBe(slowly(mask));
      for (let y = 0; y < (box?.height ?? 0); y++)
        for (let x = 0; x < box!.width; x++) expect(isMarked(mask, box!.x + x, box!.y + y)).toBe(false);
    }
  });
});

describe('a cropped source', () => {
  const source = planeSource('x', { width: 4, height: 3, data: Float32Array.from({ length: 12 }, (_, i) => i) });
  it('shows the pixels of the box', async () => {
    const part = cropped(source, { x: 1, y: 1, width: 2, height: 2 });
    const into = new Float32Array(4);
    await part.readRows(0, 2, into);
    expect([part.width, part.height, ...into]).toEqual([2, 2, 5, 6, 9, 10]);
  });
  it('answers two calls at once', async () => {
    const part = cropped(source, { x: 0, y: 0, width: 4, height: 3 });
    const [a, b] = [new Float32Array(4), new Float32Array(4)];
    await Promise.all([part.readRows(0, 1, a), part.readRows(2, 1, b)]);
    expect([...a, ...b]).toEqual([0, 1, 2, 3, 8, 9, 10, 11]);
  });
  it('must lie inside', () => expect(() => cropped(source, { x: 3, y: 0, width: 2, height: 1 })).toThrow(RangeError));
});
