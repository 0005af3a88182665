import type { Frame } from './frame.ts';
import { random } from './random.ts';
import { HOT_STAR } from './shapes.ts';

/** One star: place in the scene, light through a line filter in electrons per second, and how blue it is, −1 to 1. */
export interface Star {
  readonly u: number;
  readonly v: number;
  readonly rate: number;
  readonly blue: number;
}

/** How many stars a target has, and where its cluster of hot stars sits. */
export interface StarField {
  readonly perSquareUnit: number;
  /** Pixels to a scene unit from which on there are as many; a frame of fewer pixels gets fewer stars of the same kind. */
  readonly fullUnit: number;
  readonly cluster: { readonly u: number; readonly v: number; readonly count: number; readonly spread: number };
}

export const EMBERWING_STARS: StarField = {
  perSquareUnit: 220,
  fullUnit: 400,
  cluster: { ...HOT_STAR, count: 16, spread: 0.05 },
};

const FIELD = { u: 2, v: 1.5 } as const;

/**
 * The star field over 4 × 3 scene units, and a small cluster of hot stars that lights the nebula.
 * Counts follow a power law of slope −0.85 in brightness.
 */
export const starsOf = (seed: number, unit: number, field = EMBERWING_STARS): Star[] => {
  const { perSquareUnit, fullUnit, cluster: hot } = field;
  const rng = random(seed, 2);
  const count = Math.round(4 * FIELD.u * FIELD.v * perSquareUnit * Math.min(1, (unit / fullUnit) ** 2));
  const rate = () => Math.min(500, 0.17 * (1 - rng.uniform()) ** (-1 / 0.85));
  const cluster = Array.from({ length: hot.count }, (): Star => {
    const u = hot.u + hot.spread * rng.normal();
    const v = hot.v + hot.spread * rng.normal();
    return { u, v, rate: 8 * rate() ** 0.5, blue: 0.7 + 0.3 * rng.uniform() };
  });
  const others = Array.from({ length: count }, (): Star => {
    const u = FIELD.u * (2 * rng.uniform() - 1);
    const v = FIELD.v * (2 * rng.uniform() - 1);
    return { u, v, rate: rate(), blue: Math.max(-1, Math.min(1, 0.5 * rng.normal() - 0.1)) };
  });
  return [...cluster, ...others];
};

const BETA = 2.8;
const FAINTEST = 0.002;

/**
 * Adds stars as Moffat discs (Moffat 1969, A&A 3, 455) of the given full width at half maximum in pixels:
 * I(r) = F·(β − 1)/(π·α²)·(1 + r²/α²)^−β, drawn as far as it exceeds 0.002 electrons per second.
 */
export const drawStars = (
  into: Float32Array,
  frame: Frame,
  stars: readonly Star[],
  rateOf: (star: Star) => number,
  fwhm: number,
): void => {
  const alpha = fwhm / (2 * Math.sqrt(2 ** (1 / BETA) - 1));
  for (const star of stars) {
    const peak = (rateOf(star) * (BETA - 1)) / (Math.PI * alpha * alpha);
    const reach = alpha * Math.sqrt(Math.max(0, (peak / FAINTEST) ** (1 / BETA) - 1));
    const [cx, cy] = frame.toPixel(star.u, star.v);
    const firstX = Math.max(0, Math.ceil(cx - reach));
    const lastX = Math.min(frame.width - 1, Math.floor(cx + reach));
    const firstY = Math.max(0, Math.ceil(cy - reach));
    const lastY = Math.min(frame.height - 1, Math.floor(cy + reach));
    for (let y = firstY; y <= lastY; y++)
      for (let x = firstX; x <= lastX; x++) {
        const r2 = (x - cx) ** 2 + (y - cy) ** 2;
        into[y * frame.width + x]! += peak * (1 + r2 / (alpha * alpha)) ** -BETA;
      }
  }
};
