import { describe, expect, it } from 'vitest';
import { deming, robustLine, siegel } from '../../lib/prepare/scale/line.ts';
import { random } from '../../samples/scene/random.ts';
import golden from '../golden/prepare/regression.json' with { type: 'json' };

const { norris, pearson, channel, eiv } = golden;

describe('repeated medians', () => {
  it('give the slope and intercept that scipy gives for the Norris data', () => {
    const { slope, intercept } = siegel(norris.x, norris.y);
    expect(slope).toBeCloseTo(norris.siegel_hier.slope, 12);
    expect(intercept).toBeCloseTo(norris.siegel_hier.intercept, 11);
  });

  it('do not see outliers', () => {
    const { slope, intercept } = siegel(channel.x, channel.y);
    expect(slope).toBeCloseTo(channel.siegel_hier[1]!, 12);
    expect(intercept).toBeCloseTo(channel.siegel_hier[0]!, 12);
  });

  it('know no slope where no two x differ', () => expect(siegel([1, 1, 1], [1, 2, 3]).slope).toBeNaN());
});

describe('lines with errors in both coordinates', () => {
  it.each([
    ['Norris', norris.x, norris.y, norris.tls],
    ['Pearson', pearson.x, pearson.y, pearson.tls_unweighted],
    ['channel', channel.x, channel.y, channel.tls],
  ] as const)('are orthogonal for equal errors: %s', (_, x, y, [intercept, slope]) => {
    const found = deming(x, y);
    expect(found.slope).toBeCloseTo(slope!, 10);
    expect(found.intercept).toBeCloseTo(intercept!, 8);
  });

  it('turn into least squares where x has no error', () => {
    const found = deming(norris.x, norris.y, 1e12);
    expect(found.slope).toBeCloseTo(norris.certified.b1, 9);
    expect(found.intercept).toBeCloseTo(norris.certified.b0, 6);
  });

  it('do not depend on which coordinate is called x', () => {
    const there = deming(norris.x, norris.y, 4);
    const back = deming(norris.y, norris.x, 1 / 4);
    expect(there.slope * back.slope).toBeCloseTo(1, 12);
  });

  it('are not flattened by noise, as least squares are', () => {
    const rng = random(3, 1);
    const x: number[] = [];
    const y: number[] = [];
    for (let i = 0; i < 20000; i++) {
      const t = rng.normal();
      x.push(t + 0.5 * rng.normal());
      y.push(0.8 * t + 0.5 * rng.normal());
    }
    const plain = deming(x, y, 1e12).slope;
    expect(Math.abs(plain - eiv.theory)).toBeLessThan(0.02);
    expect(Math.abs(deming(x, y, 1).slope - 0.8)).toBeLessThan(0.02);
  });
});

describe('robust line', () => {
  it('finds the truth under outliers, where plain fits do not', () => {
    const [intercept, slope] = channel.truth as [number, number];
    const found = robustLine(channel.x, channel.y);
    expect(Math.abs(found.slope - slope)).toBeLessThan(0.01);
    expect(Math.abs(found.intercept - intercept)).toBeLessThan(0.003);
    expect(found.count).toBe(17);
    expect(Math.abs(channel.ols[1]! - slope)).toBeGreaterThan(0.1);
  });

  it('is exact on exact points, and for any scale of them', () => {
    for (const scale of [1, 1e-17, 1e12]) {
      const x = [1, 2, 3, 4, 5].map((v) => v * scale);
      expect(
        robustLine(
          x,
          x.map((v) => 3 * v - scale),
        ).slope,
      ).toBeCloseTo(3, 12);
    }
  });
});
