import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CurveKind } from '../../lib/stretch/curve.ts';
import { CURVES } from '../../lib/stretch/curves.ts';
import golden from '../golden/stretch.json' with { type: 'json' };

const kinds = Object.values(CURVES) as CurveKind[];

/** Parameters of a curve that exist for every kind. */
const someParameters = (kind: CurveKind) =>
  kind.range === undefined
    ? fc.constant({
        points: [
          [0.2, 0.4],
          [0.5, 0.45],
          [0.8, 0.9],
        ] as [number, number][],
      })
    : fc
        .double({ min: Math.log(kind.range[0]), max: Math.log(kind.range[1]), noNaN: true })
        .map((x) => ({ a: Math.min(kind.range![1], Math.max(kind.range![0], Math.exp(x))) }));

describe.each(kinds)('$name', (kind) => {
  it('runs from 0 to 1 and never falls', () => {
    fc.assert(
      fc.property(
        someParameters(kind),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (p, s, t) => {
          const curve = kind.curve(p);
          expect(curve(0)).toBeCloseTo(0, 12);
          expect(curve(1)).toBeCloseTo(1, 12);
          expect(curve(Math.max(s, t))).toBeGreaterThanOrEqual(curve(Math.min(s, t)) - 1e-12);
        },
      ),
    );
  });

  it('has the slope that differences show', () => {
    fc.assert(
      fc.property(someParameters(kind), fc.double({ min: 0.05, max: 0.95, noNaN: true }), (p, t) => {
        const [curve, slope] = [kind.curve(p), kind.slope(p)];
        const h = 1e-6;
        const difference = (curve(t + h) - curve(t - h)) / (2 * h);
        expect(Math.abs(slope(t) - difference)).toBeLessThan(1e-4 * Math.max(1, Math.abs(difference)) + 1e-4);
      }),
    );
  });

  it.skipIf(kind.place === undefined)('puts a background where it is wanted', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 0.1, noNaN: true }),
        fc.double({ min: 0.11, max: 0.5, noNaN: true }),
        (b, target) => {
          expect(kind.curve({ a: kind.place!(b, target) })(b)).toBeCloseTo(target, 9);
        },
      ),
    );
  });

  it.skipIf(kind.range === undefined)('refuses a missing parameter', () => {
    expect(() => kind.curve({})).toThrow(RangeError);
  });
});

describe('against published values', () => {
  const at = golden.astropy.x;
  it.each(golden.astropy.curves)('$curve with a = $a gives what astropy gives', ({ curve, a, values }) => {
    const f = CURVES[curve as 'asinh'].curve({ a });
    for (const [i, t] of at.entries()) expect(f(t)).toBeCloseTo(values[i]!, 12);
  });

  it.each(golden.placement.cases)(
    'places b = $b at $target as the closed forms say',
    ({ b, target, bias, power, asinh, log }) => {
      expect(CURVES.bias.place!(b, target)).toBeCloseTo(bias, 9);
      expect(CURVES.power.place!(b, target)).toBeCloseTo(power, 9);
      expect(Math.abs(CURVES.asinh.place!(b, target) / asinh - 1)).toBeLessThan(1e-9);
      expect(Math.abs(CURVES.log.place!(b, target) / log - 1)).toBeLessThan(1e-9);
    },
  );

  it.each(golden.schlick.cases)('bias a = $a is the published rational curve', ({ a, values }) => {
    const f = CURVES.bias.curve({ a });
    for (const [i, t] of golden.schlick.t.entries()) expect(f(t)).toBeCloseTo(values[i]!, 12);
  });
});

describe('points', () => {
  it('goes through its points', () => {
    const f = CURVES.points.curve({
      points: [
        [0.1, 0.5],
        [0.6, 0.7],
      ],
    });
    expect(f(0.1)).toBeCloseTo(0.5, 14);
    expect(f(0.6)).toBeCloseTo(0.7, 14);
  });

  it('reproduces a straight line', () => {
    const f = CURVES.points.curve({
      points: [
        [0.3, 0.3],
        [0.7, 0.7],
      ],
    });
    for (const t of [0, 0.1, 0.25, 0.5, 0.9, 1]) expect(f(t)).toBeCloseTo(t, 14);
  });

  it('is flat between equal points', () => {
    const f = CURVES.points.curve({
      points: [
        [0.4, 0.5],
        [0.6, 0.5],
      ],
    });
    for (const t of [0.4, 0.45, 0.5, 0.6]) expect(f(t)).toBeCloseTo(0.5, 14);
  });
});
