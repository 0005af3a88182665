import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { correlationOf, deviationsOf, independent, propagate } from '../../lib/hours/covariance.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/covariance.json', import.meta.url), 'utf8'));

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
/** Covariance of the means of repeated observations (JCGM 100:2008, 5.2.3). */
const ofMeans = (series: readonly (readonly number[])[]) => {
  const n = series[0]!.length;
  return series.map((x) =>
    series.map((y) => x.reduce((s, v, k) => s + (v - mean(x)) * (y[k]! - mean(y)), 0) / (n * (n - 1))),
  );
};

describe('covariance', () => {
  const gum = golden['cov.gum_h2'].values;

  it('resistance and reactance of JCGM 100 H.2 come out as published', () => {
    const inputs = ofMeans([gum.V, gum.I_mA.map((i: number) => i / 1000), gum.phi]);
    const [V, I, phi] = gum.means;
    const jacobian = [
      [Math.cos(phi) / I, (-V * Math.cos(phi)) / I ** 2, (-V * Math.sin(phi)) / I],
      [Math.sin(phi) / I, (-V * Math.sin(phi)) / I ** 2, (V * Math.cos(phi)) / I],
      [1 / I, -V / I ** 2, 0],
    ];
    const covariance = propagate(jacobian, inputs);
    const u = deviationsOf(covariance);
    const r = correlationOf(covariance);
    const { published } = gum;
    // Printed digits; the guide prints u(X) = 0.295 where 0.29558 is unrounded.
    expect(Math.abs(u[0]! - published.uR)).toBeLessThan(6e-4);
    expect(Math.abs(u[1]! - published.uX)).toBeLessThan(6e-4);
    expect(Math.abs(u[2]! - published.uZ)).toBeLessThan(6e-4);
    expect(r[0]![1]).toBeCloseTo(published.rRX, 3);
    expect(r[0]![2]).toBeCloseTo(published.rRZ, 3);
    expect(r[1]![2]).toBeCloseTo(published.rXZ, 3);
    for (let k = 0; k < 3; k++) expect(u[k]! / gum.u_y[k]! - 1).toBeCloseTo(0, 9);
  });

  it('a linear mix gives W Σ Wᵀ', () => {
    const { W, sigma_in, cov_out, sigma_out, corr_out } = golden['cov.mix'].values;
    const covariance = propagate(W, independent(sigma_in));
    for (let i = 0; i < 3; i++) {
      expect(deviationsOf(covariance)[i]).toBeCloseTo(sigma_out[i], 15);
      for (let j = 0; j < 3; j++) {
        expect(Math.abs(covariance[i]![j]! - cov_out[i][j])).toBeLessThan(1e-18);
        expect(correlationOf(covariance)[i]![j]).toBeCloseTo(corr_out[i][j], 12);
      }
    }
  });

  it('gives no correlation to an output that does not vary', () => {
    expect(
      correlationOf([
        [0, 0],
        [0, 4],
      ]),
    ).toEqual([
      [0, 0],
      [0, 1],
    ]);
  });
});
