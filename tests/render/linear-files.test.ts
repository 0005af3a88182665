import { describe, expect, it } from 'vitest';
import { TRANSFERS } from '../../lib/colour/transfer.ts';
import { fastKernelFor } from '../../lib/render/fast-kernel.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import { settledFor } from '../parity/settled-cases.ts';

const sample = 'f32';
const inputs = [0, 0.1, 0.35, 0.8, Number.NaN].map((v) => Float32Array.of(v, v / 2, v / 3));
const lines = [0, 1, 2].map((c) => Float32Array.from(inputs, (pixel) => pixel[c]!));

describe('a display mix in a file of linear light', () => {
  const display = settledFor({ curve: 'bias', a: 0.75 });
  const linear = { ...display, space: 'srgb-linear' } as const;

  const mixed = async (settled: typeof display, fast: boolean) => {
    const form = { sample, bands: 3 } as const;
    const kernel = fast ? fastKernelFor(settled, form)! : jsKernel(settled, form);
    const out = new Float32Array(3 * inputs.length);
    kernel(lines, inputs.length, out);
    return [...out];
  };

  it.each([true, false])('is the same picture as in sRGB, decoded (fast: %s)', async (fast) => {
    const values = await mixed(display, fast);
    const light = await mixed(linear, fast);
    expect(Math.max(...values)).toBeGreaterThan(0.5);
    for (const [i, value] of values.entries())
      expect(Math.abs(light[i]! - TRANSFERS.srgb.decode(value))).toBeLessThan(1 / 65535);
  });

  it('shows its sky as dark as in sRGB', async () => {
    const sky = settledFor({ curve: 'linear' }, { space: 'srgb-linear' });
    const out = new Float32Array(3);
    const [s, h, o] = sky.channels.map(({ background, black, white }) =>
      Float32Array.of(background + black + 0.12 * (white - black)),
    );
    jsKernel(sky, { sample, bands: 3 })([s!, h!, o!], 1, out);
    // 0.12 in display values is 0.0138 of the light of white (IEC 61966-2-1).
    for (const value of out) expect(value).toBeCloseTo(((0.12 + 0.055) / 1.055) ** 2.4, 5);
  });
});
