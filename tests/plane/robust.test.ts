import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addLower, addUpper, type PlaceCounts } from '../../lib/plane/counting.ts';
import { clipSorted, MAD_TO_SIGMA, madSigma, median, medianOfSorted, sorted } from '../../lib/plane/robust.ts';

const numbers = (minLength: number) => fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength, maxLength: 60 });
const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
/** Half the values lie at or below, half at or above: the middle one or the mean of two. */
const plainMedian = (values: readonly number[]) => {
  const rising = values.toSorted((a, b) => a - b);
  return (rising[Math.floor((rising.length - 1) / 2)]! + rising[Math.ceil((rising.length - 1) / 2)]!) / 2;
};

describe('medians', () => {
  it('are the middle value or the mean of the middle two', () => {
    fc.assert(
      fc.property(numbers(1), (values) => {
        expect(median(values)).toBe(plainMedian(values));
      }),
    );
    expect(median([])).toBeNaN();
  });

  it('of a part look at that part alone', () => {
    expect(medianOfSorted([1, 2, 3, 5, 9, 20], 1, 4)).toBe(3);
    expect(medianOfSorted([1, 2, 3, 5, 9, 20], 1, 5)).toBe(4);
    expect(medianOfSorted([1, 2, 3], 2, 2)).toBeNaN();
  });

  it('leave their values as they were', () => {
    const values = Float32Array.of(3, 1, 2);
    expect([...sorted(values)]).toEqual([1, 2, 3]);
    expect([...values]).toEqual([3, 1, 2]);
    expect(sorted([2, Number.NaN, -1])).toEqual(Float64Array.of(-1, 2, Number.NaN));
  });

  it('of deviations stand for σ: 1/Φ⁻¹(¾) times', () => {
    // Deviations from 3 are 2, 1, 0, 1, 97: their median is 1.
    expect(madSigma([1, 2, 3, 4, 100])).toBe(MAD_TO_SIGMA);
    // From 0 they are the values themselves.
    expect(madSigma([1, 2, 3, 4, 100], 0)).toBe(3 * MAD_TO_SIGMA);
  });
});

describe('clipping', () => {
  it('keeps what lies on a bound', () => {
    // Mean and median 0, σ = 1: both ±2 lie 2 σ away.
    const values = Float64Array.of(-2, 0, 0, 0, 0, 0, 0, 2);
    expect(clipSorted(values, 2)).toEqual({ level: 0, noise: 1, count: 8 });
    expect(clipSorted(values, 1.99)).toEqual({ level: 0, noise: 0, count: 6 });
  });

  /** By the definition: leave out what lies beyond, again and again. */
  const plain = (values: readonly number[], sigmas: number, rounds: number) => {
    let kept = values;
    for (let round = 0; ; round++) {
      const level = plainMedian(kept);
      const noise = Math.sqrt(mean(kept.map((v) => (v - mean(kept)) ** 2)));
      const inner = kept.filter((v) => v >= level - sigmas * noise && v <= level + sigmas * noise);
      if (round >= rounds || inner.length === kept.length) return { level, noise, count: kept.length };
      kept = inner;
    }
  };

  it('is what its definition says, for any rounds', () => {
    // Multiples of a deviation that no whole number can lie on but for rounding.
    const bounds = fc.constantFrom(Math.PI / 2, Math.E, Math.PI);
    const tailed = fc.tuple(numbers(1), fc.array(fc.integer({ min: -1e6, max: 1e6 }), { maxLength: 6 }));
    fc.assert(
      fc.property(tailed, fc.integer({ min: 0, max: 6 }), bounds, ([some, far], rounds, sigmas) => {
        const values = [...some, ...far];
        const { level, noise, count } = clipSorted(sorted(values), sigmas, rounds);
        const wanted = plain(values, sigmas, rounds);
        expect([level, count]).toEqual([wanted.level, wanted.count]);
        expect(Math.abs(noise - wanted.noise)).toBeLessThanOrEqual(1e-9 * (1 + wanted.noise));
      }),
    );
  });
});

describe('counts of two shares', () => {
  it('add up bin by bin', () => {
    const upper = (bins: number[], missing: number, zeros: number) => ({
      bins: Float64Array.from(bins),
      missing,
      zeros,
    });
    expect(addUpper(undefined, upper([1, 2, 3], 4, 5))).toEqual(upper([1, 2, 3], 4, 5));
    expect(addUpper(upper([1, 2, 3], 4, 5), upper([10, 20, 30], 40, 50))).toEqual(upper([11, 22, 33], 44, 55));
  });

  it('lie side by side for the second pass', () => {
    const part = (n: number): PlaceCounts => ({
      bytes: Uint8Array.of(n),
      passed: new Map(),
      blocks: Float64Array.of(n),
    });
    const [a, b, c, d] = [part(1), part(2), part(3), part(4)] as const;
    expect(addLower(undefined, [[a], [b]])).toEqual([[a], [b]]);
    expect(addLower([[a], [b]], [[c], [d]])).toEqual([
      [a, c],
      [b, d],
    ]);
  });
});
