import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compose,
  cornerSpread,
  largestMove,
  mapDistance,
  mapPoint,
  rotationOf,
  scaleOf,
  similarity,
} from '../../../lib/measure/registration/similarity.ts';

const CENTRE = { cx: 599.5, cy: 399.5 };
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const any = fc
  .tuple(number(-50, 50), number(-50, 50), number(-179, 179), number(0.8, 1.25))
  .map(([dx, dy, angle, scale]) => similarity(CENTRE, dx, dy, angle, scale));

describe('a similarity', () => {
  it('turns clockwise as seen, with y down', () => {
    const [x, y] = mapPoint(similarity({ cx: 0, cy: 0 }, 0, 0, 90), 1, 0);
    expect(x).toBeCloseTo(0, 12);
    expect(y).toBeCloseTo(1, 12);
  });

  it('knows its angle and scale', () => {
    const map = similarity(CENTRE, 3, -4, -75, 1.1);
    expect(rotationOf(map)).toBeCloseTo(-75, 10);
    expect(scaleOf(map)).toBeCloseTo(1.1, 12);
  });

  it('after another is that of both', () => {
    fc.assert(
      fc.property(any, any, number(0, 1200), number(0, 800), (outer, inner, x, y) => {
        const [u, v] = mapPoint(outer, ...mapPoint(inner, x, y));
        const [p, q] = mapPoint(compose(outer, inner), x, y);
        expect(Math.hypot(p - u, q - v)).toBeLessThan(1e-8);
      }),
    );
  });

  it('lies as far from another as the corner they disagree on most', () => {
    fc.assert(
      fc.property(any, any, (p, q) => {
        const corners = [-600, 600].flatMap((x) => [-400, 400].map((y) => [x, y] as const));
        const distances = [...corners, [0, 0] as const].map(([x, y]) => {
          const [one, other] = [p, q].map((map) => mapPoint(map, CENTRE.cx + x, CENTRE.cy + y));
          return Math.hypot(one![0] - other![0], one![1] - other![1]);
        });
        expect(mapDistance(p, q, { x: 600, y: 400 })).toBeCloseTo(Math.max(...distances), 8);
      }),
    );
  });

  it('moves the corners most where it turns', () => {
    const move = largestMove(similarity(CENTRE, 0, 0, 1), 1200, 800);
    expect(move).toBeCloseTo(2 * Math.sin(Math.PI / 360) * Math.hypot(599.5, 399.5), 8);
  });

  it('spreads a corner by the variances of shift, and of turn and growth over its arm', () => {
    const [shift, bend] = [0.3, 0.001];
    const covariance = [shift, shift, bend, bend].map((v, i) => [0, 1, 2, 3].map((k) => (i === k ? v * v : 0)));
    const arm = Math.hypot(600, 400);
    expect(cornerSpread(covariance, { x: 600, y: 400 })).toBeCloseTo(
      Math.sqrt(2 * shift * shift + 2 * (bend * arm) ** 2),
      10,
    );
  });
});
