import { describe, expect, it } from 'vitest';
import { openFits } from '../../lib/formats/fits/open.ts';
import { measureChannels } from '../../lib/measure/measure.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { stretchFunction } from '../../lib/recipe/settle/pixel.ts';
import { settle } from '../../lib/recipe/settle/settle.ts';
import { plainRecipe } from '../../lib/recipe/written/plain.ts';
import {
  drawStack,
  LINES,
  noisePlane,
  type SampleFile,
  type SceneOptions,
  sampleFiles,
  sceneTruth,
  TARGET_NAMES,
} from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';

const collected = async (files: AsyncIterable<SampleFile>): Promise<SampleFile[]> => {
  const all: SampleFile[] = [];
  for await (const file of files) all.push(file);
  return all;
};

const correlation = (a: Float64Array, b: Float64Array): number => {
  const mean = (values: Float64Array) => values.reduce((x, y) => x + y, 0) / values.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    ab += (a[i]! - ma) * (b[i]! - mb);
    aa += (a[i]! - ma) ** 2;
    bb += (b[i]! - mb) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
};

/** Correlations S–H, H–O, S–O of a draw of the masters under the curves of a catalogue recipe. */
const correlations = async (options: Partial<SceneOptions>): Promise<number[]> => {
  const truth = sceneTruth({ width: 300, height: 200, ...options });
  const stacks = LINES.map((line) => drawStack(truth[line], 9));
  const channels = LINES.map((name, k) => ({
    name,
    source: planeSource(name, { width: 300, height: 200, data: stacks[k]! }),
  }));
  const { settled } = settle(await plainRecipe(catalogueRecipe('sho')!), await measureChannels(channels));
  const stretch = stretchFunction(settled);
  const planes = LINES.map(() => new Float64Array(stacks[0]!.length));
  const strengths = new Float64Array(3);
  for (let i = 0; i < stacks[0]!.length; i++) {
    stretch(
      stacks.map((stack) => stack[i]!),
      strengths,
    );
    planes.forEach((plane, k) => {
      plane[i] = strengths[k]!;
    });
  }
  const [S, H, O] = planes;
  return [correlation(S!, H!), correlation(H!, O!), correlation(S!, O!)];
};

describe.each(TARGET_NAMES)('%s', (target) => {
  it('is the same for the same request, and other noise follows another seed', async () => {
    const files = async () => collected(sampleFiles({ target, kind: 'masters', width: 150 }));
    const [first, second] = [await files(), await files()];
    expect(second).toEqual(first);
    expect(first.at(-1)!.done).toBe(1);
    const { H } = sceneTruth({ target, width: 150, height: 100 });
    expect(drawStack(H, 1)).not.toEqual(drawStack(H, 2));
    expect(sceneTruth({ target, width: 150, height: 100, seed: 99 }).H.nebula).not.toEqual(H.nebula);
  });

  it('adds up to the expected value of each line', () => {
    const truth = sceneTruth({ target, width: 150, height: 100 });
    for (const line of LINES) {
      const { nebula, stars, sky, gradient, flaws, pedestal, mean } = truth[line];
      const sums = mean.map((_, i) => {
        const light = nebula[i]! + stars[i]! + sky + gradient[i]!;
        return light * (flaws?.shadow[i] ?? 1) * (flaws?.flats[i] ?? 1) + (flaws?.added[i] ?? 0) + pedestal;
      });
      expect(Math.max(...mean.map((value, i) => Math.abs(value / sums[i]! - 1)))).toBeLessThan(1e-6);
      expect(Math.min(...nebula, ...stars, ...gradient)).toBeGreaterThanOrEqual(0);
    }
  });

  it('says in its files that it is invented, and holds no star where it has none', async () => {
    const starless = await collected(sampleFiles({ target, kind: 'starless', width: 150 }));
    expect(starless.map(({ name }) => name)).toEqual([
      ...LINES.map((line) => `${target}-starless-${line}.fits`),
      `${target}-stars.tif`,
    ]);
    const { facts } = await openFits(memorySource('H', starless[1]!.bytes));
    expect(facts.object?.toLowerCase()).toBe(target);
    expect(facts.cards.map((card) => card.comment).join(' ')).toContain('An invented scene');
    expect(sceneTruth({ target, width: 150, height: 100, stars: false }).O.stars.every((x) => x === 0)).toBe(true);
  });
});

describe('Brightfen', () => {
  it.skipIf(!inTurn('go together'))(
    'has lines that go together once stretched, whatever the seed, unlike Emberwing',
    async () => {
      for (const own of [{}, { seed: 77 }])
        for (const r of await correlations({ target: 'brightfen', ...own })) expect(r).toBeGreaterThan(0.9);
      for (const r of await correlations({})) expect(r).toBeLessThan(0.9);
    },
  );

  it('is bright with weak S II and dark lanes', () => {
    const truth = sceneTruth({ target: 'brightfen', width: 300, height: 200, stars: false });
    const mean = ({ nebula }: { nebula: Float32Array }) => nebula.reduce((a, b) => a + b, 0) / nebula.length;
    expect(mean(truth.H) / mean(truth.S)).toBeGreaterThan(5);
    const sorted = truth.H.nebula.toSorted();
    const share = (s: number) => sorted[Math.floor(s * (sorted.length - 1))]!;
    // A tenth of the field lies behind lanes that leave less than a third of what half of it shows.
    expect(share(0.1) / share(0.5)).toBeLessThan(1 / 3);
    // Bright: half of the field stands far above the noise of a pixel.
    const noise = noisePlane(truth.H);
    expect(share(0.5) / noise[0]!).toBeGreaterThan(20);
  });
});

describe('Palehoop', () => {
  const { H, O } = sceneTruth({ target: 'palehoop', width: 320, height: 200 });

  it('has a shell of .1 to .5 σ a pixel over a quarter of the frame, in O alone', () => {
    const noise = noisePlane({ ...O, flaws: undefined });
    const ratios = O.shell!.map((counts, i) => counts / noise[i]!);
    const within = ratios.filter((ratio) => ratio >= 0.1 && ratio <= 0.5).length / ratios.length;
    expect(within).toBeGreaterThan(0.22);
    expect(within).toBeLessThan(0.3);
    expect(Math.max(...ratios)).toBeLessThan(0.5);
    expect(Math.max(...ratios)).toBeGreaterThan(0.4);
    expect(H.shell).toBeUndefined();
    expect(O.nebula.every((counts, i) => counts >= O.shell![i]!)).toBe(true);
  });

  it('has as bright a shell, and moonlight, at any size', () => {
    const larger = sceneTruth({ target: 'palehoop', width: 480, height: 300 }).O;
    const most = (values: Float32Array) => values.reduce((a, b) => Math.max(a, b));
    expect(most(larger.shell!) / most(O.shell!)).toBeCloseTo(1, 1);
    expect(most(O.gradient) - Math.min(...O.gradient)).toBeGreaterThan(0.5 * O.sky);
  });
});
