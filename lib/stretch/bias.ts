import { type CurveKind, clampTo, parameter } from './curve.ts';

// a = 1 would send every value above 0 to 1; the ends stay away from it by more than float32 can resolve.
const range = [1e-6, 1 - 1e-6] as const;

/**
 * t / ((1/a − 2)(1 − t) + 1): a hyperbola through (0, 0), (½, a) and (1, 1); a = ½ is the identity.
 * Source: C. Schlick, Fast alternatives to Perlin's bias and gain functions, Graphics Gems IV, 1994, pp. 401–403.
 */
export const bias: CurveKind = {
  name: 'bias',
  about: 'A rational curve that puts the background where you want it and rolls off smoothly to white.',
  range,
  curve(p) {
    const k = 1 / parameter('bias', p) - 2;
    return (t) => t / (k * (1 - t) + 1);
  },
  slope(p) {
    const k = 1 / parameter('bias', p) - 2;
    return (t) => (k + 1) / (k * (1 - t) + 1) ** 2;
  },
  place: (b, target) => clampTo(range, (target * (1 - b)) / (b + target - 2 * b * target)),
};
