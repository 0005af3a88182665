import { describe, expect, it } from 'vitest';
import { type OutputSample, outputRows } from '../../lib/plane/picture.ts';
import type { Samples } from '../../lib/plane/plane.ts';
import type { Settled, SettledStretch } from '../../lib/recipe/settle/settled.ts';
import { fastKernel } from '../../lib/render/fast-kernel.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import { hasFastKernel } from '../../lib/render/wasm/module.ts';
import { planKernel } from '../../lib/render/wasm/plan.ts';
import { channel, inLight, randomNumbers, STRETCHES, samplesLike, settledFor } from './settled-cases.ts';

const COUNT = 4001;
const inputs = [1, 2, 3].map((seed) => samplesLike(COUNT, seed));

/** Largest difference between the two kernels; undefined where the fast one declines. */
const compare = (
  settled: Settled,
  sample: OutputSample = 'u16',
  bands: 3 | 4 = 3,
  samples: readonly Samples[] = inputs,
): number | undefined => {
  const plan = planKernel(settled, sample);
  if (plan === undefined) return undefined;
  const count = samples[0]!.length;
  const form = { sample, bands };
  const wanted = outputRows(sample, count * bands);
  const got = outputRows(sample, count * bands);
  jsKernel(settled, form)(samples, count, wanted);
  fastKernel(plan, form)(samples, count, got);
  let worst = 0;
  for (let i = 0; i < got.length; i++) {
    const off = Math.abs(got[i]! - wanted[i]!);
    worst = off > worst || Number.isNaN(off) ? off : worst;
  }
  return worst;
};

const label = ({ curve, a, points }: SettledStretch) => `${curve} ${a ?? JSON.stringify(points ?? '')}`;

/** Curves that the fast kernel declines: so steep near white that float32 cannot hold the sample well enough. */
const TOO_STEEP: readonly string[] = ['bias 9.999999974752427e-7', 'points [[0.5,0.1],[0.500001,0.9]]'];

const NEGATIVE = [
  [0.85, 0.15, 0],
  [0.25, 0.65, 0.1],
  [-0.05, 0.1, 0.95],
];
const STRONG = [
  [1.4, -0.6, 0],
  [0.3, 1.2, -0.4],
  [-0.5, 0.2, 1.5],
];

it('runs here', () => expect(hasFastKernel()).toBe(true));

describe('display mixes', () => {
  it.each(STRETCHES.map((s) => [label(s), s] as const))('%s', (name, stretch) => {
    const worst = compare(settledFor(stretch));
    if (TOO_STEEP.includes(name)) expect(worst).toBeUndefined();
    else expect(worst).toBeLessThanOrEqual(1);
  });

  const gentle: SettledStretch = { curve: 'bias', a: Math.fround(0.93) };
  const changes: Record<string, Partial<Settled>> = {
    'negative weights': { matrix: NEGATIVE },
    'strong weights': { matrix: STRONG },
    'strong weights, clip': { matrix: STRONG, gamut: 'clip', highlights: 'clip' },
    'strong weights, highlights cut': { matrix: STRONG, highlights: 'clip' },
    'Display P3': { matrix: STRONG, space: 'display-p3' },
    'linear sRGB': { matrix: STRONG, space: 'srgb-linear' },
    'green limit by mean': { greenLimit: { amount: 0.7, mean: 'mean' } },
    'green limit by the larger': { matrix: NEGATIVE, greenLimit: { amount: 1, mean: 'max' } },
    'lightness from one line': { lightness: [0, 1, 0] },
    'lightness from all': { lightness: [0.2, 0.5, 0.3], space: 'display-p3' },
    'lightness and green limit': { lightness: [0, 1, 0], greenLimit: { amount: 1, mean: 'mean' } },
    'lightness in linear sRGB': { lightness: [0, 0.4, 0.8], space: 'srgb-linear' },
  };
  it.each(Object.keys(changes))('%s', (name) => {
    for (const stretch of [gentle, { curve: 'asinh', a: Math.fround(0.02) } as const])
      expect(compare(settledFor(stretch, changes[name]))).toBeLessThanOrEqual(1);
  });

  it('leaves lightness of differences to the reference', () => {
    expect(compare(settledFor(gentle, { matrix: NEGATIVE, lightness: [0, 1, 0] }))).toBeUndefined();
  });
});

it('leaves gamut methods that search by steps to the reference', () => {
  const curve = { curve: 'bias', a: Math.fround(0.9) } as const;
  expect(compare(settledFor(curve, { matrix: STRONG, gamut: 'css' }))).toBeUndefined();
  expect(compare(settledFor(curve, { gamut: 'css' }))).toBeLessThanOrEqual(1);
});

describe('mixes in light', () => {
  it.each(STRETCHES.map((s) => [label(s), s] as const))('%s', (_name, intensity) => {
    for (const matrix of [settledFor(intensity).matrix, NEGATIVE, STRONG])
      for (const space of ['srgb', 'display-p3', 'srgb-linear'] as const) {
        const worst = compare(inLight(intensity, { matrix, space }));
        if (worst !== undefined) expect(worst, `${matrix} ${space}`).toBeLessThanOrEqual(1);
      }
  });

  it('takes the usual curves itself', () => {
    for (const intensity of [
      { curve: 'bias', a: Math.fround(0.97) },
      { curve: 'asinh', a: Math.fround(0.001) },
      { curve: 'log', a: 1000 },
      { curve: 'power', a: Math.fround(0.4) },
    ] as const)
      for (const matrix of [settledFor(intensity).matrix, NEGATIVE])
        expect(planKernel(inLight(intensity, { matrix })), label(intensity)).toBeDefined();
  });

  it.each(['smooth', 'chroma', 'clip'] as const)('gamut %s', (gamut) => {
    for (const highlights of ['ratio', 'clip'] as const)
      expect(
        compare(inLight({ curve: 'asinh', a: Math.fround(0.01) }, { matrix: STRONG, gamut, highlights })),
      ).toBeLessThanOrEqual(1);
  });

  it('lightness and green limit', () => {
    const change = { lightness: [0.1, 0.9, 0], greenLimit: { amount: 0.5, mean: 'mean' } } as const;
    expect(compare(inLight({ curve: 'asinh', a: Math.fround(0.01) }, change))).toBeLessThanOrEqual(1);
    const { intensity: _, ...bare } = inLight({ curve: 'linear' }, change);
    expect(compare(bare)).toBeLessThanOrEqual(1);
  });
});

describe('colours outside in all directions', () => {
  // Three channels spread over [low, 1], by a fourth that is 1 everywhere.
  const spread = (low: number, change: Partial<Settled>): Settled => ({
    ...settledFor({ curve: 'linear' }),
    channels: ['R', 'G', 'B', 'one'].map((name) => ({
      name,
      background: 0,
      black: 0,
      white: 1,
      stretch: { curve: 'linear' },
    })),
    matrix: [0, 1, 2].map((row) => [0, 1, 2, 3].map((c) => (c === row ? 1 - low : c === 3 ? low : 0))),
    gamut: 'smooth',
    ...change,
  });
  const random = randomNumbers(17);
  const wide = [
    ...Array.from({ length: 3 }, () => Float32Array.from({ length: 20_000 }, random)),
    new Float32Array(20_000).fill(1),
  ];

  it.each(
    (['srgb', 'display-p3', 'srgb-linear'] as const).flatMap((space) =>
      (['display', 'light'] as const).map((mixIn) => ({ space, mixIn })),
    ),
  )('reach the same place by $mixIn in $space', ({ space, mixIn }) => {
    for (const low of [-0.25, -0.75])
      for (const highlights of ['ratio', 'clip'] as const)
        expect(compare(spread(low, { space, mixIn, highlights }), 'u16', 3, wide)).toBeLessThanOrEqual(1);
  });
});

describe('colours outside', () => {
  const random = randomNumbers(23);
  const planes = Array.from({ length: 3 }, () => Float32Array.from({ length: 6000 }, random));
  const mapped = (gamut: Settled['gamut'], mixIn: 'display' | 'light', samples: readonly Float32Array[]) => {
    const count = samples[0]!.length;
    const out = new Float32Array(3 * count);
    const settled = settledFor({ curve: 'linear' }, { matrix: STRONG, gamut, mixIn });
    fastKernel(planKernel(settled, 'f32')!, { sample: 'f32', bands: 3 })(samples, count, out);
    return out;
  };

  it.each(
    (['smooth', 'chroma'] as const).flatMap((gamut) =>
      (['display', 'light'] as const).map((mixIn) => [gamut, mixIn] as const),
    ),
  )('come to the same place whatever is beside them: %s in %s', (gamut, mixIn) => {
    const all = mapped(gamut, mixIn, planes);
    const chosen = Array.from({ length: 6000 }, (_, i) => i).filter((i) => i % 3 !== 1 && i % 7 !== 2);
    const fewer = mapped(
      gamut,
      mixIn,
      planes.map((plane) => Float32Array.from(chosen, (i) => plane[i]!)),
    );
    expect(fewer).toEqual(Float32Array.from(chosen.flatMap((i) => [...all.subarray(3 * i, 3 * i + 3)])));
  });

  it('are grey, next to grey, black, white or no number', () => {
    const dark = [0, 1e-30, 1e-12, 1e-6, 1e-3, 1 - 1e-7, 1];
    const levels = dark.flatMap((v) => [0, 1e-9, 1e-7, 1e-4].map((d) => [v, Math.max(0, v - d), Math.min(1, v + d)]));
    levels.push([0, 0, Number.NaN], [0, 1, 0], [1, 0, 0], [0, 0, 1], [0, 1, 1], [1, 0, 1], [1, 1, 0]);
    const samples = [0, 1, 2].map((c) => Float32Array.from(levels, (level) => level[c]!));
    for (const mixIn of ['display', 'light'] as const)
      for (const space of ['srgb', 'display-p3'] as const)
        expect(
          compare(settledFor({ curve: 'linear' }, { matrix: STRONG, mixIn, space }), 'u16', 3, samples),
        ).toBeLessThanOrEqual(1);
  });
});

describe('forms', () => {
  const settled = settledFor({ curve: 'bias', a: Math.fround(0.9) }, { matrix: NEGATIVE });

  it.each([
    ['u8', 3],
    ['u8', 4],
    ['u16', 3],
    ['u16', 4],
  ] as const)('%s with %i bands', (sample, bands) => {
    for (const count of [1, 2, 3, 4, 5, 7, 1023, 1025, 4001])
      expect(
        compare(
          settled,
          sample,
          bands,
          inputs.map((i) => i.subarray(0, count)),
        ),
      ).toBeLessThanOrEqual(1);
  });

  it.each([3, 4] as const)('f32 with %i bands', (bands) => {
    for (const count of [1, 3, 1025, 4001])
      expect(
        compare(
          settled,
          'f32',
          bands,
          inputs.map((i) => i.subarray(0, count)),
        ),
      ).toBeLessThan(1 / 65535);
  });

  it('float64 samples on a large pedestal', () => {
    const far = { ...channel('S', { curve: 'bias', a: Math.fround(0.9) }), background: 1e6, black: 0, white: 1 };
    const wide = inputs.map((i) => Float64Array.from(i, (v) => v + 1e6));
    expect(
      compare({ ...settled, channels: [far, { ...far, name: 'H' }, { ...far, name: 'O' }] }, 'u16', 3, wide),
    ).toBeLessThanOrEqual(1);
  });

  it('one to eight channels', () => {
    const many = Array.from({ length: 8 }, (_, i) => samplesLike(500, 20 + i));
    for (let n = 1; n <= 8; n++) {
      const stretch = { curve: 'asinh', a: Math.fround(0.05) } as const;
      const channels = Array.from({ length: n }, (_, i) => channel(`L${i}`, stretch, 0.01 * i));
      const matrix = [0, 1, 2].map((r) => channels.map((_, c) => ((r * 3 + c * 5) % 7) / 7 - 0.15));
      expect(compare({ ...settled, channels, matrix }, 'u16', 4, many.slice(0, n)), `${n}`).toBeLessThanOrEqual(1);
    }
  });
});

describe('kernels that share an instance', () => {
  it('do not disturb one another, whoever runs in between', () => {
    const form = { sample: 'u16', bands: 4 } as const;
    const cases = [settledFor({ curve: 'asinh', a: 0.1 }), settledFor({ curve: 'bias', a: 0.9 })];
    const samples = [3, 4, 5].map((seed) => samplesLike(500, seed));
    const alone = cases.map((settled) => {
      const out = new Uint16Array(4 * 500);
      fastKernel(planKernel(settled)!, form)(samples, 500, out);
      return out;
    });
    const kernels = cases.map((settled) => fastKernel(planKernel(settled)!, form));
    for (let round = 0; round < 3; round++)
      for (const [i, kernel] of kernels.entries()) {
        const out = new Uint16Array(4 * 500);
        kernel(samples, 500, out);
        expect(out).toEqual(alone[i]);
      }
    expect(alone[0]).not.toEqual(alone[1]);
  });
});
