import { describe, expect, it } from 'vitest';
import { normalDeviates } from '../../../lib/hours/random.ts';
import { pixelFunction } from '../../../lib/recipe/settle/pixel.ts';
import { jsKernel } from '../../../lib/render/js-kernel.ts';
import { KINDS } from '../../hours/settled.ts';

describe('pixel function', () => {
  it.each(Object.keys(KINDS))('is what the reference kernel computes: %s', (kind) => {
    const settled = KINDS[kind]!;
    const count = 500;
    const normal = normalDeviates(3);
    const inputs = settled.channels.map(({ background }) =>
      Float32Array.from({ length: count }, () => background + 250 + 400 * normal()),
    );
    const picture = new Float32Array(3 * count);
    jsKernel(settled, { sample: 'f32', bands: 3 })(inputs, count, picture);
    const pixel = pixelFunction(settled);
    const rgb = new Float64Array(3);
    let inside = 0;
    for (let i = 0; i < count; i++) {
      pixel(
        inputs.map((line) => line[i]!),
        rgb,
      );
      for (let b = 0; b < 3; b++) expect(Math.abs(rgb[b]! - picture[3 * i + b]!)).toBeLessThan(1e-7);
      if (Math.min(...rgb) > 0 && Math.max(...rgb) < 1) inside++;
    }
    expect(inside).toBeGreaterThan(count / 10);
  });
});
