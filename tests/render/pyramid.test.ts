import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { shrink, shrinkTo } from '../../lib/render/shrink.ts';

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
});
