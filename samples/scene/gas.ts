import { opticalDepth } from './light.ts';
import { bell, densityOf, fieldsOf, HOT_STAR, outer, shock, smooth } from './shapes.ts';

/**
 * Writes relative strengths of S II, Hα and O III at scene point (u, v) into `into[0..2]`, and that of a faint shell, 0 to
 * 1, into `into[3]` where the target has one; all ≥ 0.
 */
export type Gas = (u: number, v: number, into: Float64Array) => void;

/**
 * The invented nebula: a hot star ionizes the cloud around it. The hard light that makes O III is used up first, Hα
 * fills the ionized gas, S II glows where the light dies out. A veil lies before and behind, and dust dims all lines,
 * O III most. The weights are chosen by eye, not by physics.
 */
export const gasOf = (seed: number): Gas => {
  const f = fieldsOf(seed);
  const density = densityOf(f);
  const depth = opticalDepth(density, HOT_STAR.u, HOT_STAR.v);
  return (u, v, into) => {
    const n = density(u, v);
    const tau = depth(u, v);
    const light = Math.exp(-tau);
    const r = Math.sqrt((u - HOT_STAR.u) ** 2 + (v - HOT_STAR.v) ** 2);
    const near = 1 / (1 + (r * r) / 0.3);
    const wu = u + 0.07 * f.warp(2 * u, 2 * v);
    const wv = v + 0.07 * f.warp(2 * u + 3.3, 2 * v + 8.1);

    const crest = f.crest(1.9 * wu, 1.9 * wv);
    const veil = Math.exp(1.6 * f.cloud(1.2 * wu + 5, 1.2 * wv - 3)) * bell(r, 1.25);
    const arc = shock(f, u, v);
    const lane = 3 * Math.max(0, f.dust(1.5 * wu, 1.5 * wv) - 0.12) * smooth(0.05, 0.4, r) * bell(r, 1.3);
    const dust = lane + 0.22 * Math.min(7, n) * (1 - light);

    const rim = n ** 0.75 * (light - Math.exp(-4 * tau)) * Math.sqrt(near);
    const sulphur = 1.15 * rim + 0.12 * crest * crest * light * near + 0.11 * veil;

    const lit = (1.1 * n ** 0.85 + 0.1 + 0.55 * crest * crest) * light * near;
    const hydrogen = lit + 0.4 * rim + 0.24 * veil + 0.55 * arc * light;

    const hard = Math.exp(-2.4 * tau) * (bell(r, 0.6) + 0.4 * bell(r, 0.22));
    const core = (0.22 + 2.2 * crest ** 3) * (0.75 + 0.5 * Math.min(2.5, n)) * hard;
    const oxygen = core + 0.02 * veil + 0.7 * arc * Math.exp(-0.5 * tau) + 0.035 * outer(f, u, v);

    into[0] = sulphur * Math.exp(-0.9 * dust);
    into[1] = hydrogen * Math.exp(-dust);
    into[2] = oxygen * Math.exp(-1.25 * dust);
  };
};
