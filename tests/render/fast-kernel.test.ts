import { describe, expect, it } from 'vitest';
import type { Samples } from '../../lib/plane/plane.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { fastKernelFor } from '../../lib/render/fast-kernel.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import { hasFastKernel } from '../../lib/render/wasm/module.ts';

const COUNT = 70_000;
const settledFor = (white: number, space: Settled['space'] = 'srgb'): Settled => ({
  channels: [{ name: 'H', background: 0, black: 0, white, stretch: { curve: 'linear' } }],
  matrix: [[1], [0.5], [0.25]],
  mixIn: 'display',
  space,
  highlights: 'ratio',
  gamut: 'chroma',
});
const form = { sample: 'u16', bands: 3 } as const;
const values = (i: number) => (i * 7919) % 1000;
const rows: Readonly<Record<string, Samples>> = {
  f32: Float32Array.from({ length: COUNT }, (_, i) => values(i)),
  f64: Float64Array.from({ length: COUNT }, (_, i) => values(i) + 1 / 3),
};

describe.skipIf(!hasFastKernel())('the kernel in WebAssembly', () => {
  it('takes rows of either precision in any order, and gives way to others in between', () => {
    const kernels = [settledFor(1000), settledFor(800), settledFor(1000, 'display-p3')].map((settled) => ({
      fast: fastKernelFor(settled, form)!,
      plain: jsKernel(settled, form),
    }));
    const order = ['f32', 'f64', 'f64', 'f32', 'f32', 'f64'];
    for (const [k, kind] of order.entries())
      for (const { fast, plain } of k % 2 ? kernels : kernels.slice(0, 1)) {
        const [got, wanted] = [new Uint16Array(3 * COUNT), new Uint16Array(3 * COUNT)];
        fast([rows[kind]!], COUNT, got);
        plain([rows[kind]!], COUNT, wanted);
        const off = got.reduce((most, v, i) => Math.max(most, Math.abs(v - wanted[i]!)), 0);
        expect(off, `${kind} at ${k}`).toBeLessThanOrEqual(1);
      }
  });
});
