import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { findNoise } from '../../lib/smooth/find-noise.ts';
import { findStars, type StarSource } from '../../lib/stars/find/find-stars.ts';
import { fwhmOf } from '../../lib/stars/shape.ts';
import type { StarList } from '../../lib/stars/star-list.ts';
import { COUNTS_PER_RATE } from '../../samples/scene/camera.ts';
import { frameOf } from '../../samples/scene/frame.ts';
import { drawMaster, EMBERWING, LINES, noisePlane, sceneTruth } from '../../samples/scene/index.ts';
import { starsOf } from '../../samples/scene/stars.ts';
import { TARGETS } from '../../samples/scene/targets.ts';
import { inTurn, someOf } from '../cases.ts';

const [WIDTH, HEIGHT] = [780, 520];
/** Scenes that were not looked at while the method was made. */
const SEEDS = [21, 22];

const sceneOf = async (seed: number, stars = true) => {
  const options = { ...EMBERWING, seed, width: WIDTH, height: HEIGHT, stars };
  const truth = sceneTruth(options);
  const sources: StarSource[] = [];
  for (const name of LINES) {
    const data = Float32Array.from(drawMaster(truth[name], seed));
    const source = planeSource(name, { width: WIDTH, height: HEIGHT, data });
    sources.push({ name, source, noise: (await findNoise(source))! });
  }
  return { truth, sources };
};

/** Places of all stars, and the peak of each above noise, all lines together: √Σ (peak / σ)². */
const drawnStars = (seed: number, truth: ReturnType<typeof sceneTruth>) => {
  const noise = LINES.map((line) => noisePlane(truth[line]));
  const frame = frameOf(WIDTH, HEIGHT);
  return starsOf(seed, HEIGHT / 2, TARGETS.emberwing.stars).map(({ u, v, rate, blue }) => {
    const [x, y] = frame.toPixel(u, v);
    const i = Math.round(y) * WIDTH + Math.round(x);
    let sum = 0;
    for (const [k, line] of LINES.entries()) {
      const { star, starBlue, seeing } = TARGETS.emberwing.optics[line];
      const alpha = seeing / (2 * Math.sqrt(2 ** (1 / 2.8) - 1));
      const peak = (COUNTS_PER_RATE * rate * star * Math.exp(starBlue * blue) * 1.8) / (Math.PI * alpha * alpha);
      sum += (peak / noise[k]![i]!) ** 2;
    }
    return { x, y, snr: Math.sqrt(sum) };
  });
};

const isListed = ({ x, y, count }: StarList, px: number, py: number, within: number): boolean => {
  for (let s = 0; s < count; s++) if (Math.hypot(x[s]! - px, y[s]! - py) < within) return true;
  return false;
};

describe('finding stars', () => {
  it.each(someOf(SEEDS, 1))('lists those of scene %i, and hardly anything else', async (seed) => {
    const { truth, sources } = await sceneOf(seed);
    const list = await findStars(sources);
    const drawn = drawnStars(seed, truth).filter(({ x, y }) => x > 4 && y > 4 && x < WIDTH - 5 && y < HEIGHT - 5);
    const complete = (from: number, to: number) => {
      const some = drawn.filter(({ snr }) => snr >= from && snr < to);
      return some.filter(({ x, y }) => isListed(list, x, y, 1)).length / some.length;
    };
    // In so small a frame the cluster of hot stars, whose discs overlap, is a large part of all.
    expect(complete(50, Number.POSITIVE_INFINITY)).toBeGreaterThan(0.95);
    expect(complete(20, 50)).toBeGreaterThan(0.8);
    const all = drawnStars(seed, truth);
    const real = [...list.x.keys()].filter((s) =>
      all.some(({ x, y }) => Math.hypot(list.x[s]! - x, list.y[s]! - y) < 1.5),
    );
    expect(real.length / list.count).toBeGreaterThan(0.95);
    for (const [k, line] of LINES.entries())
      expect(Math.abs(fwhmOf(list.lines[k]!.shape) / TARGETS.emberwing.optics[line].seeing - 1)).toBeLessThan(0.06);
  });

  it.skipIf(!inTurn('nearly nothing'))('lists nearly nothing where there are no stars', async () => {
    const { sources } = await sceneOf(23, false);
    const { count } = await findStars(sources);
    expect(count / ((WIDTH * HEIGHT) / 1e6)).toBeLessThanOrEqual(10);
  });

  it.skipIf(!inTurn('and says'))('is in order, and says the same twice', async () => {
    const { sources } = await sceneOf(24);
    const list = await findStars(sources);
    for (let s = 1; s < list.count; s++) expect(list.y[s]!).toBeGreaterThanOrEqual(list.y[s - 1]!);
    expect(await findStars(sources)).toEqual(list);
  });
});
