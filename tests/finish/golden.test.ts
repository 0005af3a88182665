import Color from 'colorjs.io';
import { expect, it } from 'vitest';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Finish } from '../../lib/finish/finish.ts';
import { finishFunction } from '../../lib/finish/finished.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { randomFinish } from './random-finish.ts';

const FINISH: Finish = {
  tone: [
    [0.25, 0.25],
    [0.5, 0.56],
    [0.8, 0.86],
  ],
  chroma: { gain: 1.5, from: 0.24, to: 0.49, until: 0.3 },
  bends: [
    { at: 140, to: 100, width: 70, chroma: 0.9 },
    { at: 264, to: 240, width: 50, chroma: 1 },
  ],
};

/** The monotone cubic of Fritsch and Carlson (1980), slopes limited to the circle of radius 3, written apart from the library. */
const toneOf = (inner: readonly (readonly [number, number])[]) => {
  const P = [[0, 0], ...inner, [1, 1]].filter(([x], i, all) => i === 0 || x! > all[i - 1]![0]!);
  const n = P.length;
  const d = Array.from({ length: n - 1 }, (_, i) => (P[i + 1]![1]! - P[i]![1]!) / (P[i + 1]![0]! - P[i]![0]!));
  const m = P.map((_, i) => {
    if (i === 0 || i === n - 1) return d[i === 0 ? 0 : n - 2]!;
    return d[i - 1]! * d[i]! <= 0 ? 0 : (d[i - 1]! + d[i]!) / 2;
  });
  for (const [i, slope] of d.entries()) {
    if (slope === 0) {
      m[i] = 0;
      m[i + 1] = 0;
      continue;
    }
    const [a, b] = [m[i]! / slope, m[i + 1]! / slope];
    const size = a * a + b * b;
    if (size > 9) {
      m[i] = (3 / Math.sqrt(size)) * a * slope;
      m[i + 1] = (3 / Math.sqrt(size)) * b * slope;
    }
  }
  return (x: number) => {
    let i = 0;
    while (i < n - 2 && x > P[i + 1]![0]!) i++;
    const h = P[i + 1]![0]! - P[i]![0]!;
    const t = (x - P[i]![0]!) / h;
    const [h00, h10] = [2 * t ** 3 - 3 * t * t + 1, t ** 3 - 2 * t * t + t];
    const [h01, h11] = [-2 * t ** 3 + 3 * t * t, t ** 3 - t * t];
    return h00 * P[i]![1]! + h10 * h * m[i]! + h01 * P[i + 1]![1]! + h11 * h * m[i + 1]!;
  };
};

const apart = (from: number, to: number) => ((((to - from) % 360) + 540) % 360) - 180;
const bell = (t: number) => (Math.abs(t) < 1 ? (1 - t * t) ** 2 : 0);

/** A finish through OKLCH of colorjs.io. */
const byOklch = (display: readonly number[], { tone = [], chroma, bends = [] }: Finish) => {
  const coords = new Color('srgb', display as [number, number, number]).to('oklch').coords.map((v) => Number(v));
  const [light, size] = coords as [number, number];
  const hue = Number.isFinite(coords[2]!) ? coords[2]! : 0;
  let [turn, factor] = [0, 1];
  if (chroma) {
    const t = Math.min(1, Math.max(0, (light - chroma.from) / (chroma.to - chroma.from)));
    factor = 1 + (chroma.gain - 1) * t * t * (3 - 2 * t) * bell(size / chroma.until);
  }
  for (const bend of bends) {
    const share = bell(apart(bend.at, hue) / bend.width);
    turn += apart(bend.at, bend.to) * share;
    factor *= 1 + (bend.chroma - 1) * share;
  }
  const ratio = light > 0 ? toneOf(tone)(Math.min(1, light)) / light : 1;
  return new Color('oklch', [light * ratio, size * factor * ratio, hue + turn]).to('srgb-linear').coords.map(Number);
};

const COLOURS = [
  [0, 0, 0],
  [0.12, 0.12, 0.12],
  [0.5, 0.5, 0.5],
  [1, 1, 1],
  [0.2, 0.2, 0.21],
  [0.8, 0.3, 0.2],
  [0.1, 0.6, 0.3],
  [0.2, 0.3, 0.9],
  [0.9, 0.8, 0.2],
  [0, 0, 1],
  [1, 0, 0],
  [0, 1, 0],
  [0.02, 0.03, 0.02],
];

it('does what the same steps through OKLCH of colorjs.io do', () => {
  const random = randomNumbers(641);
  const drawn = Array.from({ length: 40 }, () => [random(), random(), random()]);
  const finishes = [FINISH, ...Array.from({ length: 30 }, () => randomFinish(random))];
  for (const finish of finishes) {
    const finished = finishFunction(finish, SPACES.srgb);
    for (const display of [...COLOURS, ...drawn]) {
      const rgb = Float64Array.from(display, (v) => SPACES.srgb.decode(v));
      finished(rgb);
      const wanted = byOklch(display, finish);
      for (const [i, value] of rgb.entries())
        expect(Math.abs(value - wanted[i]!), JSON.stringify({ finish, display })).toBeLessThan(
          1e-9 * (1 + Math.abs(value)),
        );
    }
  }
});

it('leaves greys grey, and everything as it is where it asks for nothing', () => {
  const random = randomNumbers(642);
  for (let k = 0; k < 40; k++) {
    const grey = random();
    const rgb = new Float64Array(3).fill(grey);
    finishFunction(randomFinish(random), SPACES['display-p3'])(rgb);
    expect(Math.max(...rgb) - Math.min(...rgb)).toBeLessThan(1e-12);
    const colour = Float64Array.of(random(), random(), random());
    const same = colour.slice();
    finishFunction({}, SPACES.srgb)(same);
    for (let b = 0; b < 3; b++) expect(same[b]).toBeCloseTo(colour[b]!, 12);
  }
});
