import { bisectLog, type CurveKind, parameter } from './curve.ts';

const range = [1e-6, 1e9] as const;
const value = (t: number, a: number) => Math.log1p(a * t) / Math.log1p(a);

/** ln(a·t + 1) / ln(a + 1); larger a lifts the faint more. */
export const log: CurveKind = {
  name: 'log',
  about: 'Equal ratios become equal steps: strong on the faint, flat on the bright.',
  range,
  curve(p) {
    const a = parameter('log', p);
    const norm = 1 / Math.log1p(a);
    return (t) => Math.log1p(a * t) * norm;
  },
  slope(p) {
    const a = parameter('log', p);
    const norm = a / Math.log1p(a);
    return (t) => norm / (a * t + 1);
  },
  place: (background, target) => bisectLog(range, true, target, (a) => value(background, a)),
};
