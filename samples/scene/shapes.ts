import { type Field, fractal, gradientNoise, ridged } from './noise.ts';
import { random } from './random.ts';

/** The random fields from which the nebula is shaped, all cut from one lattice. */
export interface Fields {
  /** Displaces the others, so that gas looks stirred. */
  readonly warp: Field;
  readonly cloud: Field;
  readonly crest: Field;
  readonly dust: Field;
  readonly broad: Field;
}

export const fieldsOf = (seed: number): Fields => {
  const lattice = gradientNoise(random(seed, 1));
  const shifted =
    (dx: number, dy: number): Field =>
    (x, y) =>
      lattice(x + dx, y + dy);
  return {
    warp: fractal(shifted(11.5, 3.2), 3),
    cloud: fractal(shifted(47.1, 29.4), 7, 0.56),
    crest: ridged(shifted(83.6, 61.8), 5, 0.6),
    dust: fractal(shifted(131.2, 97.7), 6, 0.55),
    broad: fractal(shifted(171.9, 143.3), 3),
  };
};

/** 0 below `from`, 1 above `to`, a cubic between. */
export const smooth = (from: number, to: number, x: number): number => {
  const t = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return t * t * (3 - 2 * t);
};

/** 1 at 0, falling to 1/e at ±width. */
export const bell = (x: number, width: number): number => Math.exp(-(x * x) / (width * width));

/** Where the hot star sits, in scene units: half the picture's height, from its centre, u right, v down. */
export const HOT_STAR = { u: -0.12, v: -0.1 } as const;

/** Neutral gas around the star: a cavity, clumps, and a thick wall to the lower right with trunks towards the star. */
export const densityOf =
  (f: Fields): Field =>
  (u, v) => {
    const wu = u + 0.12 * f.warp(1.4 * u, 1.4 * v);
    const wv = v + 0.12 * f.warp(1.4 * u + 7.7, 1.4 * v + 3.1);
    const du = wu - HOT_STAR.u;
    const dv = wv - HOT_STAR.v;
    const r = Math.sqrt(du * du + dv * dv);
    const lumps = Math.exp(2.0 * f.cloud(2.3 * wu, 2.3 * wv));
    const shell = smooth(0.22, 0.6, r) * bell(r - 0.6, 0.35);
    const wall = smooth(
      0.55,
      0.8,
      0.55 * wu + 0.83 * wv + 0.3 * f.broad(2.4 * u, 2.4 * v) + 0.1 * f.cloud(3 * wu, 3 * wv),
    );
    return lumps * (0.05 + 0.9 * shell + 6 * wall);
  };

/** A thin blast front above left of the star, frayed into strands: bright in O III, weaker in Hα. */
export const shock = (f: Fields, u: number, v: number): number => {
  const du = u + 0.025 * f.warp(2 * u, 2 * v) + 0.05;
  const dv = v + 0.025 * f.warp(2 * u + 4, 2 * v + 9) + 0.05;
  const r = Math.sqrt(du * du + 1.4 * dv * dv);
  const along = smooth(-0.05, 0.75, (-0.8 * du - 0.6 * dv) / (r + 1e-9));
  const fray = 0.045 * f.cloud(1.7 * u + 9, 1.7 * v);
  const edge = r - 0.97 - fray;
  const second = r - 0.9 - 2.2 * fray;
  const tail = edge < 0 ? 0.28 * bell(edge, 0.12) : 0;
  return (
    along * (bell(edge, 0.011) + 0.5 * bell(second, 0.014) + tail) * Math.max(0, 0.65 + 0.9 * f.broad(3 * u, 3 * v))
  );
};

/** The faint outer shell that only O III shows: a wide, dented bubble, brightest at its limb. */
export const outer = (f: Fields, u: number, v: number): number => {
  const du = (u - 0.12 + 0.1 * f.warp(0.9 * u + 2, 0.9 * v)) / 1.36;
  const dv = (v + 0.02 + 0.1 * f.warp(0.9 * u, 0.9 * v + 5)) / 0.92;
  const r = Math.sqrt(du * du + dv * dv);
  const patch = Math.max(0.1, 0.8 + 0.9 * f.cloud(1.4 * u, 1.4 * v + 3));
  return patch * (r < 1 ? 0.25 + 0.75 * bell(1 - r, 0.1) : bell(r - 1, 0.035));
};
