import { bisectLog, type CurveKind, parameter } from './curve.ts';

const range = [1e-9, 1e3] as const;
const value = (t: number, a: number) => Math.asinh(t / a) / Math.asinh(1 / a);

/**
 * asinh(t/a) / asinh(1/a): linear well below a, logarithmic well above; smaller a lifts the faint more.
 * Source: Lupton et al. 2004, PASP 116:133.
 */
export const asinh: CurveKind = {
  name: 'asinh',
  about: 'Linear for the faint, logarithmic for the bright: keeps stars small.',
  range,
  curve(p) {
    const a = parameter('asinh', p);
    const norm = 1 / Math.asinh(1 / a);
    return (t) => Math.asinh(t / a) * norm;
  },
  slope(p) {
    const a = parameter('asinh', p);
    const norm = 1 / Math.asinh(1 / a);
    return (t) => norm / Math.hypot(t, a);
  },
  place: (background, target) => bisectLog(range, false, target, (a) => value(background, a)),
};
