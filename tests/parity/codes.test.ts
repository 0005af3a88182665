import { describe, expect, it } from 'vitest';
import { quantise } from '../../lib/colour/encode.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { fastKernel } from '../../lib/render/fast-kernel.ts';
import { codeTables } from '../../lib/render/wasm/codes.ts';
import { planKernel } from '../../lib/render/wasm/plan.ts';
import { channel, randomNumbers, settledFor } from './settled-cases.ts';

const linear = { curve: 'linear' } as const;
const settled = settledFor(linear, {
  channels: ['S', 'H', 'O'].map((name) => ({ ...channel(name, linear, 0), background: 0, black: 0, white: 1 })),
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  mixIn: 'light',
});
const codeOf = (light: number) => quantise(SPACES.srgb.encode(light), 255);

const word = new Int32Array(1);
const real = new Float32Array(word.buffer);
/** The float32 so many steps away. */
const beside = (value: number, steps: number): number => {
  real[0] = value;
  word[0]! += steps;
  return real[0]!;
};

const { leasts } = codeTables(SPACES.srgb);
const steps = [...leasts.subarray(1, 256)].flatMap((least) => [-1, 0, 1].map((k) => beside(least, k)));
const next = randomNumbers(3);
const spread = Array.from({ length: 20000 }, () => Math.fround(2 ** (-20 * next())));
const edges = [0, 1, 0.9999999, -0.5, 1.5, 1e-30, beside(0, 1), Number.NaN];
const values = Float32Array.from([...edges, ...steps, ...spread]);

describe('light as 8-bit codes', () => {
  it.each([3, 4] as const)('has the codes of the transfer function to the last float32, %i bands', (bands) => {
    const form = { sample: 'u8', bands } as const;
    const out = new Uint8Array(bands * values.length);
    fastKernel(planKernel(settled, 'u8')!, form)([values, values, values], values.length, out);
    const undefinedPixel = new Array(bands).fill(0);
    for (const [i, value] of values.entries()) {
      const code = codeOf(value);
      const wanted = Number.isNaN(value) ? undefinedPixel : [code, code, code, 255].slice(0, bands);
      expect([...out.subarray(bands * i, bands * (i + 1))], `${value}`).toEqual(wanted);
    }
  });

  it('meets every code', () => {
    expect(new Set([...values].filter((v) => v >= 0).map(codeOf)).size).toBe(256);
    for (let code = 1; code < 256; code++)
      expect([codeOf(leasts[code]!), codeOf(beside(leasts[code]!, -1))]).toEqual([code, code - 1]);
  });
});
