import { describe, expect, it } from 'vitest';
import { clipSorted, madSigma, median, sorted } from '../../lib/plane/robust.ts';
import golden from '../golden/prepare/robust.json' with { type: 'json' };

describe('robust statistics of small samples', () => {
  it('agree with astropy', () => {
    expect(median(golden.data)).toBe(golden.median);
    expect(madSigma(golden.data)).toBeCloseTo(golden.madSigma, 12);
    const clipped = clipSorted(sorted(golden.data));
    expect(clipped.count).toBe(golden.clipped.count);
    expect(clipped.level).toBe(golden.clipped.level);
    expect(clipped.noise).toBeCloseTo(golden.clipped.noise, 12);
  });

  it('have no median of nothing', () => expect(median([])).toBeNaN());
  it('take the mean of the middle two', () => expect(median([4, 1, 3, 2])).toBe(2.5));
});
