import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { oklchOf } from '../../../lib/colour/convert.ts';
import { chroma } from '../../../lib/colour/gamut/chroma.ts';
import { moveToFirstZero } from '../../../lib/colour/gamut/cubic.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { Triple } from '../../../lib/plane/linear.ts';
import { randomColours, randomFrom } from '../random.ts';

const IDS = { srgb: 'srgb-linear', 'display-p3': 'p3-linear', 'srgb-linear': 'srgb-linear' } as const;
const excess = (rgb: readonly number[]): number => Math.max(...rgb.map((v) => Math.max(-v, v - 1)));
const turn = (a: number, b: number): number => Math.abs(((((a - b) % 360) + 540) % 360) - 180);

// What makes a result the first boundary, each judged with colorjs.io: it lies on a face of the cube, keeps lightness
// and hue, and every colour of less chroma is in gamut.
describe.each(Object.values(SPACES))('chroma reduction in $label', (space) => {
  const colours = randomColours(11, 400, -0.6, 1.6);
  const cases: { asked: Triple; got: Triple }[] = [];
  for (let i = 0; i < colours.length; i += 3) {
    const asked: Triple = [colours[i]!, colours[i + 1]!, colours[i + 2]!];
    const pixel = Float64Array.from(asked);
    chroma.map(pixel, 0, space);
    const [light] = oklchOf(asked, space);
    if (excess(asked) > 1e-9 && light > 0 && light < 1) cases.push({ asked, got: [pixel[0]!, pixel[1]!, pixel[2]!] });
  }

  it('has cases to judge', () => expect(cases.length).toBeGreaterThan(200));

  it('ends on a face of the cube', () => {
    for (const { got } of cases) expect(Math.abs(excess(got))).toBeLessThan(1e-14);
  });

  it('keeps lightness and hue', () => {
    for (const { asked, got } of cases) {
      const a = new Color(IDS[space.name], [...asked]).to('oklch').coords as unknown as Triple;
      const b = new Color(IDS[space.name], [...got]).to('oklch').coords as unknown as Triple;
      expect(b[0]).toBeCloseTo(a[0], 12);
      if (b[1] > 1e-4) expect(turn(a[2], b[2])).toBeLessThan(1e-8);
      expect(b[1]).toBeLessThanOrEqual(a[1]);
    }
  });

  it('meets no face before', () => {
    for (const { got } of cases) {
      const [l, c, h] = new Color(IDS[space.name], [...got]).to('oklch').coords as unknown as Triple;
      for (let step = 0; step < 64; step++) {
        const inner = new Color('oklch', [l, (c * step) / 64, h]).to(IDS[space.name]).coords as unknown as Triple;
        expect(excess(inner)).toBeLessThan(1e-12);
      }
    }
  });
});

it('clips what rounding alone pushed out, by at most the tolerance', () => {
  const pixel = Float64Array.of(1 + 5e-10, -5e-10, 0.5);
  chroma.map(pixel, 0, SPACES.srgb);
  expect([...pixel]).toEqual([1, 0, 0.5]);
});

describe('first zero of a cubic', () => {
  const firstZero = (c: readonly number[], end: number): number => {
    const cubic = Float64Array.of(...c, end);
    moveToFirstZero(cubic);
    return cubic[4]!;
  };

  it('finds the smallest of three known roots', () => {
    const next = randomFrom(2);
    for (let round = 0; round < 20_000; round++) {
      const [p, q, r] = [next(), next(), next()].sort((a, b) => a - b) as [number, number, number];
      // p·q·r − (pq + pr + qr)x + (p + q + r)x² − x³ = (p − x)(q − x)(r − x)
      const found = firstZero([p * q * r, -(p * q + p * r + q * r), p + q + r, -1], 1);
      // Roots that nearly coincide are known to the square root of rounding at best.
      expect(Math.abs(found - p)).toBeLessThan(1e-14 / Math.max(1e-7, (q - p) * (r - p)));
    }
  });

  it.each([
    { what: 'no root: the end', c: [1, 1, 1, 1], end: 1, wanted: 1 },
    { what: 'root beyond the end', c: [1, -0.5, 0, 0], end: 1, wanted: 1 },
    { what: 'a line', c: [1, -4, 0, 0], end: 1, wanted: 0.25 },
    { what: 'a parabola that touches', c: [0.25, -1, 1, 0], end: 1, wanted: 0.5 },
    { what: 'a parabola that dips and returns', c: [0.09, -1, 1, 0], end: 1, wanted: 0.1 },
    { what: 'a triple root', c: [0.125, -0.75, 1.5, -1], end: 1, wanted: 0.5 },
    { what: 'a start on the face', c: [0, -1, 0, 0], end: 1, wanted: 0 },
  ])('$what', ({ c, end, wanted }) => expect(firstZero(c, end)).toBeCloseTo(wanted, 5));
});
