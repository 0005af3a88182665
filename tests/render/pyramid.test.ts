import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { collectMeans, firstOfEach, shrink, shrinkTo } from '../../lib/plane/shrink.ts';

describe('a pyramid', () => {
  it('holds the means of what is defined', async () => {
    const data = Float32Array.of(1, 3, Number.NaN, 5, 5, 7, Number.NaN, Number.NaN);
    const source = planeSource('s', { width: 4, height: 2, data });
    const [whole, half, one] = await shrinkTo(source, [4, 2, 1]);
    expect([...whole!.data]).toEqual([...data]);
    expect([...half!.data]).toEqual([4, 5]);
    expect(one!.data[0]).toBeCloseTo(21 / 5, 6);
    expect(await shrink(source, 2)).toEqual(half);
  });

  it('can be collected in parts, by whole small rows', () => {
    const large = { width: 13, height: 17 };
    const data = Float32Array.from({ length: 13 * 17 }, (_, i) => (i % 11 === 4 ? Number.NaN : (i * 37) % 101));
    const small = { width: 5, height: 6 };
    const whole = collectMeans(large, small);
    whole.add(data, 0, 17);
    const rows = firstOfEach(6, 17);
    const parts = [
      [0, 1],
      [1, 4],
      [4, 6],
    ].map(([from, to]) => {
      const part = collectMeans(large, small, from, to);
      for (let y = rows[from!]!; y < rows[to!]!; y++) part.add(data.subarray(13 * y, 13 * (y + 1)), y, 1);
      return part.plane();
    });
    expect(parts.map(({ width, height }) => [width, height])).toEqual([
      [5, 1],
      [5, 3],
      [5, 2],
    ]);
    expect(parts.flatMap((part) => [...part.data])).toEqual([...whole.plane().data]);
    // Each small pixel is the mean of the large ones whose centres lie in it.
    const { data: means } = whole.plane();
    for (let y = 0; y < 6; y++)
      for (let x = 0; x < 5; x++) {
        const inside = [...data].filter((value, i) => {
          const [u, v] = [((i % 13) + 0.5) * (5 / 13), (Math.floor(i / 13) + 0.5) * (6 / 17)];
          return Number.isFinite(value) && Math.floor(u) === x && Math.floor(v) === y;
        });
        expect(means[5 * y + x]).toBeCloseTo(inside.reduce((a, b) => a + b, 0) / inside.length, 4);
      }
  });
});
