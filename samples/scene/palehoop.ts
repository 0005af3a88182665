import { OPTICS } from './camera.ts';
import type { FlawOptions } from './flaw-options.ts';
import type { Gas } from './gas.ts';
import type { SceneOptions } from './options.ts';
import { bell, type Fields, fieldsOf, smooth } from './shapes.ts';
import type { Target } from './target.ts';

const SHADOW = { edge: 'bottom', middle: 0.36, width: 0.2, reach: 0.12, border: 0.07, depth: 0.08 } as const;
const FLATS = { seed: 21, depth: 0.004 } as const;
const THIS_YEAR: FlawOptions = { shadow: SHADOW, flats: FLATS };

const PALEHOOP: SceneOptions = {
  target: 'palehoop',
  width: 1600,
  height: 1000,
  seed: 7,
  noiseSeed: 12,
  hours: { S: 4, H: 4, O: 9 },
  gradient: true,
  coverage: false,
  stars: true,
  misfit: {},
  turned: {},
  flaws: {
    S: THIS_YEAR,
    H: THIS_YEAR,
    O: {
      ...THIS_YEAR,
      trail: { from: [0.02, 0.86], to: [0.66, 0.05], width: 5, depth: 0.0048 },
      hot: { seed: 22, perMegapixel: 30, faintest: 0.08, brightest: 0.5 },
      seam: { top: 0.63, bottom: 0.6, share: 0.5 },
    },
  },
};

/** Last year's O: a turned camera, other flats, fewer hours, and none of what went wrong this year. */
export const LAST_YEAR: SceneOptions = {
  ...PALEHOOP,
  noiseSeed: 13,
  hours: { ...PALEHOOP.hours, O: 5 },
  turned: { O: 2.5 },
  flaws: { O: { flats: { seed: 23, depth: 0.005 } } },
};

const HEART = { u: 0.86, v: 0.12 } as const;
const HOOP = { u: -0.72, v: -0.06, wide: 0.75, high: 0.64 } as const;

/** The shell, at most 1: a dented bubble with strands, brightest at its limb. */
const hoop = (f: Fields, u: number, v: number): number => {
  const du = (u - HOOP.u + 0.09 * f.warp(1.1 * u + 2, 1.1 * v)) / HOOP.wide;
  const dv = (v - HOOP.v + 0.09 * f.warp(1.1 * u, 1.1 * v + 5)) / HOOP.high;
  const r = Math.sqrt(du * du + dv * dv);
  if (r > 1.2) return 0;
  const body = r < 1 ? 0.34 + 0.66 * bell(1 - r, 0.14) : bell(r - 1, 0.045);
  const strands = f.crest(2.1 * u + 7, 2.1 * v) - 0.35;
  return body * Math.min(1, Math.max(0.66, 0.82 + 0.2 * f.cloud(1.6 * u, 1.6 * v + 3) + 0.3 * strands));
};

/** A medium H II field in a wide sky, and beside it a shell that is hardly there. Chosen by eye, not by physics. */
const gasOf = (seed: number): Gas => {
  const f = fieldsOf(seed);
  return (u, v, into) => {
    const wu = u + 0.13 * f.warp(1.5 * u, 1.5 * v);
    const wv = v + 0.13 * f.warp(1.5 * u + 7.7, 1.5 * v + 3.1);
    const du = wu - HEART.u;
    const dv = wv - HEART.v;
    const r = Math.sqrt(du * du + dv * dv);
    const billow = Math.exp(1.3 * f.cloud(2.1 * wu, 2.1 * wv));
    const crest = f.crest(2.2 * wu, 2.2 * wv);
    const dust = 3.2 * smooth(0.02, 0.55, f.dust(2 * wu + 3, 2 * wv)) * smooth(0.03, 0.2, r);
    const body = bell(r, 0.42) * billow * (0.3 + 0.9 * crest * crest);
    const edge = bell(r - 0.42, 0.16) * billow * crest * crest;
    const veil = 0.02 * bell(r, 1.3) * Math.exp(1.5 * f.cloud(1.1 * u + 5, 1.1 * v - 3));

    into[0] = (0.5 * body + 0.9 * edge + 0.8 * veil) * Math.exp(-0.9 * dust);
    into[1] = (body + 0.45 * edge + veil) * Math.exp(-dust);
    into[2] = body * bell(r, 0.3) * Math.exp(-1.2 * dust);
    into[3] = hoop(f, u, v);
  };
};

/** The target whose shell shows only where many pixels are averaged. */
export const palehoop: Target = {
  object: 'Palehoop',
  options: PALEHOOP,
  optics: {
    S: { ...OPTICS.S, nebula: 0.02, gradient: [0.02, 0.01, -0.005, 0.002, 0, 0.001] },
    H: { ...OPTICS.H, nebula: 0.12, gradient: [0.04, 0.02, -0.012, 0.004, 0.001, 0] },
    O: { ...OPTICS.O, nebula: 0.03, gradient: [0.14, 0.07, -0.045, 0.014, -0.008, 0.006] },
  },
  gasOf,
  stars: { perSquareUnit: 469, fullUnit: 500, cluster: { ...HEART, count: 12, spread: 0.05 } },
  shell: 0.0017,
};
