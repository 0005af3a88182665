import { beforeAll, describe, expect, it } from 'vitest';
import { allocate } from '../../lib/hours/allocate.ts';
import { addedBy, futureNoise } from '../../lib/hours/future.ts';
import { linesFor, noiseFactors } from '../../lib/hours/goal.ts';
import { type Ledger, ledger } from '../../lib/hours/ledger.ts';
import { surveyLine } from '../../lib/hours/survey.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { LINES, type LineTruth, noiseOf, type PerLine } from '../../samples/scene/index.ts';
import { calmWindow, cut, drawnVariance, mastersOf, noiseOfPlace, settleOn, truthOf, type Window } from './scene.ts';

const DRAWS = 200;
const SIZE = 24;
const NOW: PerLine<number> = { S: 6, H: 4, O: 5 };

const mean = (values: Float32Array) => values.reduce((a, b) => a + b, 0) / values.length;

describe('on the sample scene', () => {
  let truth: PerLine<LineTruth>;
  let window: Window;
  beforeAll(() => {
    truth = truthOf(NOW);
    window = calmWindow(truth, SIZE, [1450, 1750]);
  });

  describe.each(['sho', 'hoo', 'ember', 'gilt'])('with the recipe %s', (recipe) => {
    let settled: Settled;
    let masters: ReturnType<typeof mastersOf>;
    let levels: number[];
    beforeAll(async () => {
      const found = await settleOn(truth, recipe);
      settled = found.settled;
      masters = found.masters;
      levels = found.measured.map(({ level }) => level);
    });

    const check = (found: Ledger, tolerance: number) => {
      const drawn = drawnVariance(settled, cut(truth, window), DRAWS).map(Math.sqrt);
      for (const [k, noise] of noiseOfPlace(found.box!).entries())
        expect(Math.abs(noise / drawn[k]! - 1), `${k}: ${noise} for ${drawn[k]}`).toBeLessThan(tolerance);
      const chroma = Math.hypot(drawn[5]!, drawn[6]!);
      expect(Math.abs(found.box!.noise.chroma / chroma - 1)).toBeLessThan(tolerance);
    };

    it('the ledger predicts the noise of every output from the noise put in, within 3 %', () => {
      const patch = cut(truth, window);
      const stats = settled.channels.map(({ name }) => {
        const value = mean(patch[name as 'S'].mean);
        const reading = { value, noise: noiseOf(value, truth[name as 'S'].subs) };
        return { name, background: reading, box: { ...reading, pixels: SIZE ** 2, area: 1 } };
      });
      check(ledger(settled, stats), 0.03);
    });

    it('and from one master alone, within what a box of 576 pixels tells', async () => {
      const stats = await Promise.all(
        masters.map(({ name, source }, i) => surveyLine(name, source, levels[i]!, { box: window })),
      );
      for (const { texture } of stats) expect(texture.correlated).toBe(false);
      check(ledger(settled, stats), 0.1);
    });
  });

  it('the background noise of one master is the noise put in there, within 3 %', async () => {
    const masters = mastersOf(truth, 1);
    for (const [i, line] of LINES.entries()) {
      const level = [980, 1510, 1165][i]!;
      const { background } = await surveyLine(line, masters[i]!.source, level);
      expect(Math.abs(background.noise / noiseOf(level, truth[line].subs) - 1)).toBeLessThan(0.03);
    }
  });

  it('the predicted split beats equal shares, and every move of a tenth of the hours, for luminance and colour', async () => {
    const { settled } = await settleOn(truth, 'ember');
    const patch = cut(truth, window);
    const stats = settled.channels.map(({ name }) => {
      const value = mean(patch[name as 'S'].mean);
      return { name, background: { value, noise: noiseOf(value, truth[name as 'S'].subs) } };
    });
    const { background } = ledger(settled, stats);
    const exposures = LINES.map((name) => ({ name, hours: NOW[name], sub: 400, subs: 9 * NOW[name], from: undefined }));
    const drawn = (subs: readonly number[]) => {
      const line = (i: number) => ({ ...patch[LINES[i]!], subs: 9 * NOW[LINES[i]!] + subs[i]! });
      return drawnVariance(settled, { S: line(0), H: line(1), O: line(2) }, DRAWS);
    };
    for (const quantity of ['luminance', 'colour'] as const) {
      const variance = (subs: readonly number[]) => {
        const [r, g, b, y] = drawn(subs);
        return quantity === 'luminance' ? y! : r! + g! + b!;
      };
      const lines = linesFor(background, quantity, exposures);
      const hours = 20;
      const best = allocate(lines, hours);
      const subs = best.shares.map((s) => s.subs!);
      expect(subs.reduce((a, b) => a + b)).toBe(9 * hours);
      const least = variance(subs);
      // The estimate of the future is what the future's own draws show.
      const { noise } = futureNoise(background, noiseFactors(lines, addedBy(best)));
      expect(Math.abs(noise[quantity] / Math.sqrt(least) - 1)).toBeLessThan(0.03);
      expect(variance([60, 60, 60])).toBeGreaterThan(least);
      let moves = 0;
      for (const i of [0, 1, 2])
        for (const j of [0, 1, 2]) {
          const moved = subs.with(i, subs[i]! - 18);
          moved[j] = moved[j]! + 18;
          if (i === j || moved[i]! < 0) continue;
          moves++;
          expect(variance(moved), `${quantity}: ${moved} against ${subs}`).toBeGreaterThan(least);
        }
      expect(moves).toBeGreaterThan(1);
    }
  });
});
