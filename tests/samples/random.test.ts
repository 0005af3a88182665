import { describe, expect, it } from 'vitest';
import { random, xoshiro128 } from '../../samples/scene/random.ts';

describe('random numbers', () => {
  it('follow the reference sequence of xoshiro128**', () => {
    // Blackman & Vigna, reference program xoshiro128starstar.c (version 1.1) from state {1, 2, 3, 4}.
    const expected = [
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ];
    const next = xoshiro128([1, 2, 3, 4]);
    expect(expected.map(next)).toEqual(expected);
  });

  it('are normal: moments 0, 1, 0, 3 and the share beyond 2σ', () => {
    const rng = random(5, 1);
    const n = 200_000;
    const draws = Float64Array.from({ length: n }, () => rng.normal());
    const moment = (k: number) => draws.reduce((sum, x) => sum + x ** k, 0) / n;
    // Five standard errors of each moment: √(var/n).
    expect(Math.abs(moment(1))).toBeLessThan(5 * Math.sqrt(1 / n));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(5 * Math.sqrt(2 / n));
    expect(Math.abs(moment(3))).toBeLessThan(5 * Math.sqrt(15 / n));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(5 * Math.sqrt(96 / n));
    const beyond = draws.filter((x) => Math.abs(x) > 2).length / n;
    // 1 − erf(√2), from tables of the normal distribution.
    expect(beyond).toBeCloseTo(0.0455, 2.5);
  });

  it('differ between seeds and between streams of a seed', () => {
    const first = (seed: number, stream: number) => random(seed, stream).next();
    expect(new Set([first(1, 1), first(1, 2), first(2, 1), first(2, 2)]).size).toBe(4);
    expect(first(1, 1)).toBe(first(1, 1));
  });
});
