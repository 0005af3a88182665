import { describe, expect, it } from 'vitest';
import { cropped } from '../../lib/plane/cropped.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { samplesFor } from '../../lib/plane/strips.ts';
import { reachOfStars, splitLines } from '../../lib/stars/split-lines.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { packed, randomList, sourcesOf, starryLines } from './starry-fields.ts';

const whole = async (source: PlaneSource, rows = source.height): Promise<Float32Array> => {
  const all = samplesFor(source, source.width * source.height) as Float32Array;
  for (let y = 0; y < source.height; y += rows) {
    const some = Math.min(rows, source.height - y);
    await source.readRows(y, some, all.subarray(y * source.width, (y + some) * source.width));
  }
  return all;
};

const fieldOf = (seed: number, width: number, height: number, holes: boolean) => {
  const list = randomList(seed, { width, height, count: 25 });
  const lines = starryLines(list, seed, { width, height, holes });
  return { list: packed(list), lines, sources: sourcesOf(lines, width) };
};

describe('taking stars out of lines', () => {
  it('gives the same bytes for any cut into bands', async () => {
    const next = randomNumbers(41);
    for (let i = 0; i < 5; i++) {
      const { list, sources } = fieldOf(i, 90 + i * 17, 80 + i * 23, i % 2 === 1);
      const once = splitLines(sources, list, { farthest: 64 });
      const all = [...once.starless, once.mask];
      const wanted = await Promise.all(all.map((source) => whole(source)));
      const rows = 1 + Math.floor(40 * next());
      const again = splitLines(sources, list, { farthest: 64 });
      for (const [k, source] of [...again.starless, again.mask].entries())
        expect(await whole(source, rows)).toEqual(wanted[k]);
    }
  });

  it('gives the same bytes for columns that are worked on apart', async () => {
    // More than a window of columns; where two meet, stars reach across.
    const { list, sources } = fieldOf(9, 1300, 40, false);
    const { starless } = splitLines(sources, list, { farthest: 64 });
    const part = sources.map((source) => cropped(source, { x: 900, y: 0, width: 400, height: 40 }));
    const apart = splitLines(part, list, { farthest: 64, left: 900, top: 0 });
    const reach = reachOfStars(list, 64);
    for (const [k, source] of starless.entries()) {
      const wanted = await whole(source);
      const found = await whole(apart.starless[k]!);
      for (let y = 0; y < 40; y++)
        expect(found.slice(y * 400 + reach, (y + 1) * 400)).toEqual(
          wanted.slice(y * 1300 + 900 + reach, (y + 1) * 1300),
        );
    }
  });

  it('leaves pixels alone that are no stars, and undefined ones', async () => {
    for (let i = 0; i < 4; i++) {
      const { list, lines, sources } = fieldOf(50 + i, 100, 90, true);
      const { starless, mask } = splitLines(sources, list, { farthest: 64 });
      const shares = await whole(mask);
      expect(shares.some((share) => share > 0)).toBe(true);
      for (const [k, source] of starless.entries()) {
        const found = await whole(source);
        for (const [p, share] of shares.entries()) {
          const missing = lines.some((line) => !Number.isFinite(line[p]!));
          if (missing) expect(share).toBe(0);
          if (share === 0) expect(found[p]).toBe(lines[k]![p]);
          else expect(Number.isFinite(found[p]!)).toBe(true);
        }
      }
    }
  });

  it('makes no number of none, however wide and bright stars are', async () => {
    const list = randomList(60, { width: 200, height: 150, count: 6 });
    const wide = {
      ...list,
      lines: list.lines.map((line) => ({ ...line, shape: { alpha: 9, beta: 1.8, e1: 0.5, e2: 0.3 }, full: undefined })),
      peaks: list.peaks.map((peaks) => peaks.map(() => 1e6)),
    };
    const lines = starryLines(wide, 60, { width: 200, height: 150 });
    const { starless } = splitLines(sourcesOf(lines, 200), packed(wide), { farthest: 64 });
    for (const source of starless) expect((await whole(source)).every(Number.isFinite)).toBe(true);
  });

  it('brings the sky back under stars whose shape is known', async () => {
    const [width, height] = [220, 180];
    const list = randomList(71, { width, height, count: 20 });
    const lines = starryLines({ ...list, lines: list.lines.map(({ full: _, ...line }) => line) }, 71, {
      width,
      height,
    });
    const { starless, mask } = splitLines(sourcesOf(lines, width), packed(list), { farthest: 64 });
    const shares = await whole(mask);
    for (const [k, source] of starless.entries()) {
      const found = await whole(source);
      const off = [...found]
        .filter((_, p) => shares[p]! > 0)
        .map((value) => Math.abs(value - 100) / list.lines[k]!.noise);
      off.sort((a, b) => a - b);
      // Median deviation of normal noise: .6745.
      expect(off[off.length >> 1]!).toBeLessThan(0.8);
    }
  });
});
