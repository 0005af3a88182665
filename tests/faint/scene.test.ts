import { beforeAll, describe, expect, it } from 'vitest';
import { addRows, emptyBins } from '../../lib/faint/bins.ts';
import { wanderOf } from '../../lib/faint/wander.ts';
import { rowWithin } from '../../lib/plane/outline.ts';
import { findFaint } from '../../lib/work/faint.ts';
import type { Faint, FaintFeature } from '../../lib/work/faint-report.ts';
import type { LineTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { WHITE } from './planes.ts';
import { combinedLine, drawYears, trueContrast } from './scene.ts';

const SIZE = { width: 1120, height: 700 };
/** From this scale on outlines are looked at: below, noise may make one. */
const WIDE = 16;
/** Counts a pixel: more is nebula, or shell. */
const SHELL = 0.5;
const NEBULA = 2;

/** The mean of a plane inside an outline. */
const meanInside = (plane: Float32Array, { box, outline }: FaintFeature): number => {
  let [sum, count] = [0, 0];
  for (let y = box.y; y < box.y + box.height; y++) {
    const row = rowWithin(outline, y);
    for (let k = 0; k < row.length; k += 2)
      for (let x = row[k]!; x < row[k + 1]!; x++) {
        sum += plane[y * SIZE.width + x]!;
        count++;
      }
  }
  return sum / count;
};

describe('two masters of a field with a faint shell', () => {
  let [now, before]: LineTruth[] = [];
  let found: Faint;
  beforeAll(async () => {
    const years = drawYears(SIZE, 57);
    [now, before] = [years.now, years.before];
    found = await findFaint(await combinedLine(years.sources), {});
  }, 120_000);

  it('show the shell, and claim nothing where there is none', () => {
    const wide = found.features.filter(({ scale }) => scale >= WIDE);
    const shell = wide.filter((of) => meanInside(now!.shell!, of) > SHELL);
    const neither = wide.filter(
      (of) =>
        meanInside(now!.shell!, of) <= SHELL && meanInside(now!.nebula, of) - meanInside(now!.shell!, of) <= NEBULA,
    );
    expect(shell.length).toBeGreaterThanOrEqual(5);
    expect(shell.reduce((sum, { pixels }) => sum + pixels, 0)).toBeGreaterThan(12_000);
    // One false outline is allowed in the whole frame.
    expect(neither.length).toBeLessThanOrEqual(1);
  });

  it('tell the hours until the shell stands out five times', () => {
    const told = found.features.flatMap((of) => {
      const contrast = of.scale >= WIDE && of.area ? trueContrast(now!.shell!, found, of) : undefined;
      return contrast !== undefined && contrast > SHELL ? [{ of, contrast }] : [];
    });
    const inside = told.filter(({ of, contrast }) => {
      const truth = found.hours! * ((5 * of.area!.noise) / contrast) ** 2;
      const { least, most = Number.POSITIVE_INFINITY } = of.hours.find(({ aim }) => aim === 5)!;
      return truth >= least && truth <= most;
    });
    expect(told.length).toBeGreaterThanOrEqual(4);
    expect(inside.length / told.length).toBeGreaterThan(0.6);
  });

  it.skipIf(!inTurn('their flats'))('tell how good their flats are', () => {
    // What flats of both years do to the sky, without noise, over what is left of one of them.
    const flat = ({ flaws, sky, gradient }: LineTruth) =>
      flaws!.flats.map((factor, i) => (factor - 1) * (sky + gradient[i]!));
    const [a, b] = [flat(now!), flat(before!)];
    const bins = emptyBins(SIZE.width, SIZE.height);
    addRows(
      bins,
      Float32Array.from(a, (v, i) => v - b[i]!),
      SIZE.width,
      0,
      SIZE.height,
      0,
    );
    const truth = wanderOf(bins, { ...WHITE, noise: { ...WHITE.noise, variance: 1e-12 }, light: found.light }, 32);
    for (const scale of [16, 32]) {
      const [told, real] = [found.wander!, truth].map((of) => of.find((one) => one.scale === scale)!.flats);
      expect(told! / real!).toBeGreaterThan(0.6);
      expect(told! / real!).toBeLessThan(1.6);
    }
  });
});

it.skipIf(!inTurn('no shell'))(
  'claims no shell from one master whose flats are no better than it is bright',
  async () => {
    const { now, sources } = drawYears(SIZE, 58);
    const { features, limits } = await findFaint({ name: 'O', source: sources[0]! }, {});
    const shell = features.filter((of) => of.scale >= WIDE && meanInside(now.shell!, of) > SHELL);
    expect(shell).toEqual([]);
    expect(limits.join()).toMatch(/0\.[34]\d* % of the sky can be decided from one master/);
  },
  60_000,
);
