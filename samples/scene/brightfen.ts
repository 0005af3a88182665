import { OPTICS } from './camera.ts';
import type { Gas } from './gas.ts';
import type { SceneOptions } from './options.ts';
import { bell, fieldsOf, smooth } from './shapes.ts';
import type { Target } from './target.ts';

const BRIGHTFEN: SceneOptions = {
  target: 'brightfen',
  width: 1200,
  height: 800,
  seed: 4,
  noiseSeed: 11,
  hours: { S: 4, H: 3, O: 3 },
  gradient: true,
  coverage: false,
  stars: true,
  misfit: {},
  turned: {},
  flaws: {},
};

/** Where the stars sit that light the field, in scene units. */
const HEART = { u: 0.22, v: -0.16 } as const;

/**
 * A bright field whose lines go together: all of the gas is lit from inside and glows in the three lines alike, behind
 * lanes of dust whose edges shine where they face the heart. O III is a little stronger near the heart, S II a little
 * at the edges. The weights are chosen by eye, not by physics.
 */
const gasOf = (seed: number): Gas => {
  const f = fieldsOf(seed);
  return (u, v, into) => {
    const wu = u + 0.15 * f.warp(1.1 * u, 1.1 * v);
    const wv = v + 0.15 * f.warp(1.1 * u + 6.4, 1.1 * v + 2.9);
    const du = wu - HEART.u;
    const dv = wv - HEART.v;
    const r = Math.sqrt(du * du + 1.2 * dv * dv) + 1e-9;
    const near = 1 / (1 + (r * r) / 0.34) + 0.7 * bell(r, 0.24);
    const broad = f.broad(1.3 * u + 4, 1.3 * v);

    const rift = bell(0.8 * wv - 0.45 * wu - 0.3 + 0.3 * broad, 0.13);
    const lanes = smooth(0.42, 0.8, f.crest(0.9 * wu - 4, 0.9 * wv + 6));
    const thick = (u: number, v: number) => smooth(0.16, 0.85, f.dust(1.9 * u, 1.9 * v) + 0.34 * rift + 0.2 * lanes);
    const dark = thick(wu, wv);
    const rim = Math.max(0, dark - thick(wu - (0.03 * du) / r, wv - (0.03 * dv) / r)) * near * smooth(0.1, 0.35, r);
    const dust = (2 * dark + 0.55 * rift + 0.4 * lanes) * smooth(0.03, 0.3, r);

    const crest = f.crest(1.5 * wu + 2, 1.5 * wv);
    const billow = Math.exp(0.95 * f.cloud(1.9 * wu, 1.9 * wv));
    const glow = (0.12 + near) * billow * (0.4 + 0.9 * crest * crest) + 1.4 * rim;

    into[0] = glow ** 0.86 * Math.exp(-0.86 * dust) * (1 + 0.9 / (1 + 2 * near));
    into[1] = glow * Math.exp(-dust);
    into[2] = glow ** 1.12 * Math.exp(-1.14 * dust) * (0.6 + 0.5 * near) * Math.max(0.4, 1 + 0.3 * broad);
  };
};

/** The target whose plain mix is grey. */
export const brightfen: Target = {
  object: 'Brightfen',
  options: BRIGHTFEN,
  optics: {
    S: { ...OPTICS.S, nebula: 0.22, seeing: 2.6 },
    H: { ...OPTICS.H, nebula: 1.5, seeing: 2.6 },
    O: { ...OPTICS.O, nebula: 1, seeing: 2.9, gradient: [0.03, 0.012, 0.016, 0.004, 0, 0.002] },
  },
  gasOf,
  stars: { perSquareUnit: 260, fullUnit: 400, cluster: { ...HEART, count: 22, spread: 0.06 } },
};
