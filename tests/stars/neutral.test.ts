import { describe, expect, it } from 'vitest';
import { luminanceOf } from '../../lib/colour/luminance.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import { neutralize } from '../../lib/render/neutral.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const cases = (seed: number, count: number) => {
  const next = randomNumbers(seed);
  const some = (): Float64Array =>
    Float64Array.of(...[0, 1, 2].map(() => (next() < 0.15 ? Math.round(next()) : next() ** 2)));
  return Array.from({ length: count }, () => {
    const most = some();
    const largest = Math.max(...most) || 1;
    const tint = (next() < 0.4 ? [1, 1, 1] : most.map((c) => c / largest)) as unknown as Triple;
    return { mix: some(), under: some(), share: next(), amount: next() < 0.5 ? 1 : next(), tint };
  });
};

describe('neutral stars', () => {
  it('have the luminance that the mix has, in every space, whatever their tint', () => {
    for (const space of Object.values(SPACES))
      for (const { mix, under, share, amount, tint } of cases(31, 400)) {
        if (luminanceOf(Float64Array.of(...tint), 0, space) === 0) continue;
        const before = luminanceOf(mix, 0, space);
        neutralize(mix, under, share, { amount, tint }, space);
        expect(luminanceOf(mix, 0, space)).toBeCloseTo(before, 10);
        for (const light of mix) {
          expect(light).toBeGreaterThanOrEqual(-1e-12);
          expect(light).toBeLessThanOrEqual(1 + 1e-12);
        }
      }
  });

  it('are what lies under them and white, and nothing else', () => {
    for (const { mix, under } of cases(32, 200)) {
      neutralize(mix, under, 1, { amount: 1, tint: [1, 1, 1] }, SPACES.srgb);
      // mix = under + k (1 − under), or under made darker: all three give the same k.
      const brighter = luminanceOf(mix, 0, SPACES.srgb) >= luminanceOf(under, 0, SPACES.srgb);
      const k = (c: number) => (brighter ? (mix[c]! - under[c]!) / (1 - under[c]!) : mix[c]! / under[c]!);
      const known = [0, 1, 2].filter((c) => (brighter ? under[c]! < 1 : under[c]! > 0)).map(k);
      for (const one of known) expect(one).toBeCloseTo(known[0]!, 9);
    }
  });

  it('are as they were where nothing of a pixel is a star', () => {
    for (const { mix, under, tint } of cases(33, 50)) {
      const before = [...mix];
      neutralize(mix, under, 0, { amount: 1, tint }, SPACES.srgb);
      expect([...mix]).toEqual(before);
    }
  });
});
