import { type CurveKind, clampTo, parameter } from './curve.ts';

const range = [0.01, 100] as const;

/** t^a. Below 1 it lifts the faint, with infinite slope at 0. */
export const power: CurveKind = {
  name: 'power',
  about: 'A power of the value: gentle, lifts everything at once.',
  range,
  curve(p) {
    const a = parameter('power', p);
    return (t) => t ** a;
  },
  slope(p) {
    const a = parameter('power', p);
    return (t) => a * t ** (a - 1);
  },
  place: (background, target) => clampTo(range, Math.log(target) / Math.log(background)),
};
