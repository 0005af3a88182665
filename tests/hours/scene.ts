import type { LedgerPlace } from '../../lib/hours/ledger.ts';
import { OUTPUTS, outputFunction } from '../../lib/hours/outputs.ts';
import { measureChannels } from '../../lib/measure/measure.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { settle } from '../../lib/recipe/settle/settle.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { plainRecipe } from '../../lib/recipe/written/plain.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { drawStack, LINES, type Line, type LineTruth, type PerLine, sceneTruth } from '../../samples/scene/index.ts';

export const SCENE = { width: 360, height: 240 };

/** The sample scene, small, without moonlight and borders. */
export const truthOf = (hours?: PerLine<number>): PerLine<LineTruth> =>
  sceneTruth({ ...SCENE, gradient: false, coverage: false, ...(hours ? { hours } : {}) });

/** One draw of all lines as masters. */
export const mastersOf = (truth: PerLine<LineTruth>, seed: number) =>
  LINES.map((name) => ({
    name,
    source: planeSource(`${name}.fits`, {
      width: truth[name].width,
      height: truth[name].height,
      data: drawStack(truth[name], seed),
    }),
  }));

export const settleOn = async (truth: PerLine<LineTruth>, recipe: Recipe | string) => {
  const masters = mastersOf(truth, 1);
  const measured = await measureChannels(masters);
  const chosen = typeof recipe === 'string' ? await plainRecipe(catalogueRecipe(recipe)!) : recipe;
  return { masters, measured, settled: settle(chosen, measured).settled };
};

export interface Window {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The truth of a window alone. */
export const cut = (truth: PerLine<LineTruth>, { x, y, width, height }: Window): PerLine<LineTruth> => {
  const crop = (plane: Float32Array, stride: number) => {
    const part = new Float32Array(width * height);
    for (let r = 0; r < height; r++) {
      const from = (y + r) * stride + x;
      part.set(plane.subarray(from, from + width), r * width);
    }
    return part;
  };
  const line = (t: LineTruth): LineTruth => ({
    ...t,
    width,
    height,
    mean: crop(t.mean, t.width),
    covered: new Uint8Array(width * height).fill(1),
  });
  return { S: line(truth.S), H: line(truth.H), O: line(truth.O) };
};

/** The window of this size whose lines together vary least from pixel to pixel, of those whose H lies in a range. */
export const calmWindow = (truth: PerLine<LineTruth>, size: number, [low, high]: [number, number]): Window => {
  let best: Window | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (let y = 0; y + size <= SCENE.height; y += 4)
    for (let x = 0; x + size <= SCENE.width; x += 4) {
      const window = { x, y, width: size, height: size };
      const { H, O } = cut(truth, window);
      const mean = H.mean.reduce((a, b) => a + b, 0) / H.mean.length;
      const spread = [H, O].reduce((s, t) => s + Math.max(...t.mean) - Math.min(...t.mean), 0);
      if (mean < low || mean > high || spread >= least) continue;
      least = spread;
      best = window;
    }
  return best!;
};

/** Variance of every output (see OUTPUTS) over `draws` of the window's noise, averaged over its pixels. */
export const drawnVariance = (settled: Settled, window: PerLine<LineTruth>, draws: number): number[] => {
  const outputs = outputFunction(settled);
  const lines = settled.channels.map(({ name }) => window[name as Line]);
  const count = window.S.mean.length;
  const sums = Array.from({ length: count }, () => new Float64Array(2 * OUTPUTS.length));
  const centre = Array.from({ length: count }, (_, i) => outputs(lines.map(({ mean }) => mean[i]!)));
  for (let n = 0; n < draws; n++) {
    const stacks = lines.map((line) => drawStack(line, 1000 + n));
    for (let i = 0; i < count; i++) {
      const out = outputs(stacks.map((stack) => stack[i]!));
      for (let k = 0; k < out.length; k++) {
        const d = out[k]! - centre[i]![k]!;
        sums[i]![2 * k]! += d;
        sums[i]![2 * k + 1]! += d * d;
      }
    }
  }
  return OUTPUTS.map((_, k) => {
    const variances = sums.map((s) => (s[2 * k + 1]! - s[2 * k]! ** 2 / draws) / (draws - 1));
    return variances.reduce((a, b) => a + b, 0) / count;
  });
};

export const noiseOfPlace = (place: LedgerPlace): number[] => [
  place.noise.red,
  place.noise.green,
  place.noise.blue,
  place.noise.luminance,
  place.noise.lightness,
];
