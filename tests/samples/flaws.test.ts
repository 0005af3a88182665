import { describe, expect, it } from 'vitest';
import {
  drawStack,
  type FlawOptions,
  LAST_YEAR,
  type LineTruth,
  lineTruth,
  noisePlane,
  sceneTruth,
  TARGETS,
} from '../../samples/scene/index.ts';
import { starsOf } from '../../samples/scene/stars.ts';

const SIZE = { target: 'palehoop', width: 320, height: 200 } as const;
const { S, H, O } = sceneTruth(SIZE);
const plain = sceneTruth({ ...SIZE, flaws: {} });
const last = lineTruth({ ...LAST_YEAR, ...SIZE }, 'O');

/** Standard deviation of the draws' departures from the truth, in shares of what one sub count would give. */
const spread = (truth: LineTruth, inside: (x: number, y: number) => boolean): number => {
  let [sum, count] = [0, 0];
  for (let seed = 50; seed < 54; seed++)
    drawStack(truth, seed).forEach((value, i) => {
      if (!inside(i % truth.width, Math.floor(i / truth.width))) return;
      sum += (value - truth.mean[i]!) ** 2;
      count++;
    });
  return Math.sqrt(sum / count);
};

describe("this year's O of Palehoop", () => {
  const { trail, seam, hot, added } = O.flaws!;

  it('has a trail where the truth says: ends, width and depth', () => {
    const [[x0, y0], [x1, y1]] = [trail!.from, trail!.to];
    const length = Math.hypot(x1 - x0, y1 - y0);
    const spots = new Set(hot.map(({ x, y }) => y * 320 + x));
    let [most, sum] = [0, 0];
    added.forEach((counts, i) => {
      if (counts === 0 || spots.has(i)) return;
      const [px, py] = [(i % 320) - x0, Math.floor(i / 320) - y0];
      const along = (px * (x1 - x0) + py * (y1 - y0)) / length;
      const off = Math.abs(px * (y1 - y0) - py * (x1 - x0)) / length;
      expect(off).toBeLessThan(2 * trail!.width);
      expect(along).toBeGreaterThan(-2 * trail!.width);
      expect(along).toBeLessThan(length + 2 * trail!.width);
      most = Math.max(most, counts);
      sum += counts;
    });
    expect(most / trail!.depth).toBeCloseTo(1, 1);
    // The light of a Gaussian ridge is depth × length × width·√(π/(4·ln 2)); its round ends add a disc's.
    const across = trail!.width * Math.sqrt(Math.PI / (4 * Math.LN2));
    expect(sum / (trail!.depth * (length * across + across * across))).toBeCloseTo(1, 1);
    // Faint: little more than the noise of one pixel.
    expect(trail!.depth / noisePlane(O)[0]!).toBeLessThan(2);
  });

  it('has hot pixels at the places and of the strengths that the truth lists', () => {
    const many = lineTruth(
      { ...SIZE, flaws: { O: { hot: { seed: 1, perMegapixel: 800, faintest: 0.1, brightest: 0.4 } } } },
      'O',
    );
    expect(many.flaws!.hot.length).toBeGreaterThan(45);
    for (const { x, y, counts } of many.flaws!.hot) {
      const i = y * 320 + x;
      expect(many.mean[i]! - plain.O.mean[i]!).toBeCloseTo(counts, 1);
      expect(counts).toBeGreaterThanOrEqual(160);
      expect(counts).toBeLessThanOrEqual(640);
    }
    expect(many.mean.filter((mean, i) => Math.abs(mean - plain.O.mean[i]!) > 1)).toHaveLength(many.flaws!.hot.length);
    expect(hot).toHaveLength(2);
  });

  it('has a seam right of which fewer frames make more noise', () => {
    const border = (y: number) => seam!.top + ((seam!.bottom - seam!.top) * y) / 199;
    expect([O.subs, seam!.subs]).toEqual([81, 41]);
    const even = noisePlane({ ...O, flaws: undefined });
    for (const [inside, subs] of [
      [(x: number, y: number) => x < border(y), 81],
      [(x: number, y: number) => x > border(y), 41],
    ] as const) {
      const expected = Math.sqrt(
        even
          .filter((_, i) => inside(i % 320, Math.floor(i / 320)))
          .reduce((sum, s, _, all) => sum + s ** 2 / all.length, 0),
      );
      expect(spread(O, inside) / expected / Math.sqrt(81 / subs)).toBeCloseTo(1, 1);
    }
  });

  it('has the shadow of a guider at its lower edge, as the other lines have', () => {
    for (const truth of [S, H, O]) {
      const { shadow } = truth.flaws!;
      const dark = [...shadow].flatMap((share, i) => (share < 0.97 ? [i] : []));
      expect(Math.min(...shadow)).toBeCloseTo(0.92, 4);
      expect(dark.length / shadow.length).toBeGreaterThan(0.015);
      for (const i of dark) {
        expect(Math.floor(i / 320) / 199).toBeGreaterThan(0.85);
        expect(Math.abs((i % 320) / 319 - 0.36)).toBeLessThan(0.13);
      }
    }
    const at = 195 * 320 + 115;
    const before = plain.H.mean[at]! - plain.H.pedestal;
    expect((H.mean[at]! - H.pedestal) / before / H.flaws!.flats[at]!).toBeCloseTo(0.92, 3);
  });
});

describe("last year's O of Palehoop", () => {
  it('shows the same sky through other flats and fewer hours, and none of what went wrong this year', () => {
    expect(last.nebula).toEqual(O.nebula);
    expect(last.stars).toEqual(O.stars);
    expect(last.subs).toBeLessThan(O.subs);
    expect(last.flaws!.added.every((counts) => counts === 0)).toBe(true);
    expect(last.flaws!.shadow.every((share) => share === 1)).toBe(true);
    expect(last.flaws!.seam).toBeUndefined();
    for (const { flats } of [last.flaws!, O.flaws!]) {
      expect(Math.max(...flats) - Math.min(...flats)).toBeGreaterThan(0.003);
      expect(Math.max(...flats.map((f) => Math.abs(f - 1)))).toBeLessThan(0.015);
    }
    expect(last.flaws!.flats).not.toEqual(O.flaws!.flats);
  });

  it('was taken with a turned camera: its corners hold nothing, and moonlight and flats turn with it', () => {
    const empty = last.covered.filter((c) => c === 0).length;
    expect(empty).toBeGreaterThan(500);
    expect(O.covered.every((c) => c === 1)).toBe(true);
    expect(drawStack(last, 1).filter((value) => value === 0)).toHaveLength(empty);
    // The camera's (+100, 0) from the centre lies at (100·cos 2.5°, 100·sin 2.5°) of the picture.
    const angle = (2.5 * Math.PI) / 180;
    const there = Math.round(99.5 + 100 * Math.sin(angle)) * 320 + Math.round(159.5 + 100 * Math.cos(angle));
    const upright = lineTruth({ ...LAST_YEAR, ...SIZE, turned: {} }, 'O');
    const here = Math.round(99.5) * 320 + Math.round(159.5 + 100);
    const straight = Math.abs(last.gradient[here]! - upright.gradient[here]!);
    expect(Math.abs(last.gradient[there]! - upright.gradient[here]!)).toBeLessThan(0.5 * straight);
  });
});

describe('what is planted', () => {
  it('goes into any target', () => {
    const seam: FlawOptions = { seam: { top: 0.5, bottom: 0.5, share: 0.25 } };
    const truth = lineTruth({ width: 90, height: 60, flaws: { H: seam } }, 'H');
    expect(new Set(truth.flaws!.frames)).toEqual(new Set([36, 9]));
    expect(truth.mean).toEqual(lineTruth({ width: 90, height: 60 }, 'H').mean);
  });

  it('moves with a crop', () => {
    const crop = { left: 10, top: 5 };
    const cropped = lineTruth({ ...SIZE, misfit: { O: { crop } } }, 'O').flaws!;
    expect(cropped.trail!.from[0]).toBeCloseTo(O.flaws!.trail!.from[0] - 10, 9);
    expect(cropped.trail!.to[1]).toBeCloseTo(O.flaws!.trail!.to[1] - 5, 9);
    expect(cropped.seam!.top).toBeLessThan(O.flaws!.seam!.top - 9);
    expect(cropped.shadow[150 * 310 + 60]).toBeCloseTo(O.flaws!.shadow[155 * 320 + 70]!, 6);
  });
});

it('Palehoop has about 3,000 stars in its frame', () => {
  const { options, stars } = TARGETS.palehoop;
  const field = starsOf(options.seed, options.height / 2, stars);
  const inside = field.filter(({ u, v }) => Math.abs(u) < options.width / options.height && Math.abs(v) < 1);
  expect(inside.length).toBeGreaterThan(2850);
  expect(inside.length).toBeLessThan(3150);
});
