import { describe, expect, it } from 'vitest';
import { chroma } from '../../../lib/colour/gamut/chroma.ts';
import type { GamutMethod } from '../../../lib/colour/gamut/method.ts';
import { smooth } from '../../../lib/colour/gamut/smooth.ts';
import type { Space } from '../../../lib/colour/space.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import golden from '../../golden/colour/gamut.json';
import { randomFrom } from '../random.ts';
import { bentPath, bentReference } from './bent-reference.ts';

type Triple = [number, number, number];
const { srgb } = SPACES;

/** Display values to display values. */
const shown = (method: GamutMethod, display: readonly number[], space: Space): Triple => {
  const rgb = Float64Array.from(display, space.decode);
  method.map(rgb, 0, space);
  return [...rgb].map((v) => space.encode(v)) as Triple;
};

const isOutside = (rgb: readonly number[]) => rgb.some((v) => v < 0 || v > 1);

/** Display values with at least one outside, over all that mixing and highlights leave. */
const outsideColours = (seed: number, count: number, low: number, high = 1): Triple[] => {
  const next = randomFrom(seed);
  const colours: Triple[] = [];
  while (colours.length < count) {
    const colour = [0, 1, 2].map(() => low + (high - low) * next()) as Triple;
    if (isOutside(colour)) colours.push(colour);
  }
  return colours;
};

it.each(golden.smooth.cases)('$from in sRGB', ({ from, to }) => {
  const got = shown(smooth, from, srgb);
  for (const [i, v] of to.entries()) expect(Math.abs(got[i]! - v)).toBeLessThan(golden.smooth.tolerance);
});

describe.each(Object.values(SPACES))('smooth in $label', (space) => {
  it.each([
    [-0.25, 1],
    [-0.75, 1],
    [-0.75, 1.5],
  ])('agrees with its definition in the OKLCH of colorjs.io, from %d to %d', (low, high) => {
    for (const colour of outsideColours(101, 120, low, high)) {
      const light = colour.map((v) => space.decode(v)) as Triple;
      const wanted = bentReference(light, space.name);
      const got = shown(smooth, colour, space);
      for (let i = 0; i < 3; i++) expect(Math.abs(got[i]! - space.encode(wanted[i]!))).toBeLessThan(2e-8);
    }
  });

  it('takes paths that leave the cube once', () => {
    for (const colour of outsideColours(103, 120, -0.75)) {
      const path = bentPath(colour.map((v) => space.decode(v)) as Triple, space.name);
      if (typeof path === 'string') continue;
      const inside = Array.from({ length: 60 }, (_, k) =>
        path((k + 1) / 60).every((v) => v >= -1e-12 && v <= 1 + 1e-12),
      );
      expect(inside.lastIndexOf(true)).toBe(inside.filter(Boolean).length - 1);
    }
  });
});

/**
 * The largest change of the result, in display values, for steps of one size, among colours that highlights leave (none
 * above 1): the worst of random colours near every face, edge and corner of the cube, climbed uphill by trying neighbours.
 */
const steepest = (method: GamutMethod, space: Space, size: number, low: number, seed: number): number => {
  const next = randomFrom(seed);
  const centred = () => 2 * next() - 1;
  const limit = (v: number) => Math.min(1, Math.max(low, v));
  const change = (at: Triple, step: Triple): number => {
    const one = shown(method, at, space);
    const other = shown(method, at.map((v, i) => Math.min(1, v + step[i]!)) as Triple, space);
    return Math.max(...one.map((v, i) => Math.abs(v - other[i]!)));
  };
  const near = (): number => (next() < 0.5 ? Math.round(next()) + 0.02 * centred() : low + (1 - low) * next());
  const draw = () => {
    const at = [near(), near(), near()].map(limit) as Triple;
    const step = [centred(), centred(), centred()].map((v) => v * size) as Triple;
    return { at, step, change: change(at, step) };
  };
  const best = Array.from({ length: 6000 }, draw).sort((a, b) => b.change - a.change);
  const climb = best.slice(0, 24);
  for (let round = 0; round < 60; round++)
    for (const place of climb) {
      const reach = 0.02 * 0.85 ** round;
      const at = place.at.map((v) => limit(v + reach * centred())) as Triple;
      const step = place.step.map((v) => Math.min(size, Math.max(-size, v + size * centred() * 0.5))) as Triple;
      const found = change(at, step);
      if (found > place.change) Object.assign(place, { at, step, change: found });
    }
  return Math.max(...climb.map((place) => place.change));
};

describe.each(Object.values(SPACES))('neighbours stay neighbours in $label', (space) => {
  it.each([1e-3, 1e-5, 1e-7])('at steps of %d', (size) => {
    for (const [low, seed] of [
      [-0.05, 1],
      [-0.25, 2],
      [-0.75, 3],
    ] as const) {
      const found = steepest(smooth, space, size, low, seed);
      expect(found / size).toBeLessThan(golden.smooth.lipschitz);
    }
  });
});

it('the search for the steepest place finds the jump that the method of constant hue has', () => {
  const found = Math.max(...[1, 2, 3].map((seed) => steepest(chroma, srgb, 1e-5, -0.25, seed)));
  expect(found).toBeGreaterThan(0.02);
});

it('crosses the blue face without the jump of constant hue', () => {
  const walk = (method: GamutMethod) => {
    let most = 0;
    for (let k = -20; k < 20; k++) {
      const [one, other] = [k, k + 1].map((i) => shown(method, [0, i * 1e-6, 1], srgb)[1]);
      most = Math.max(most, Math.abs(one! - other!));
    }
    return most;
  };
  expect(walk(chroma)).toBeGreaterThan(0.1);
  expect(walk(smooth)).toBeLessThan(1e-4);
});
