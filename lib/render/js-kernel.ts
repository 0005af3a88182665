import { quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { pixelFunction } from '../recipe/settle/pixel.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Kernel, KernelForm } from './kernel.ts';

/** The kernel in plain float64: the reference for every faster one, and the fallback where none runs. */
export const jsKernel = (settled: Settled, { sample, bands }: KernelForm): Kernel => {
  const count = settled.channels.length;
  const physical = new Float64Array(count);
  const rgb = new Float64Array(3);
  const pixel = pixelFunction(settled);
  const full = SAMPLE_FULL[sample];
  const whole = sample !== 'f32';
  return (inputs, pixels, out) => {
    for (let i = 0, o = 0; i < pixels; i++, o += bands) {
      let defined = true;
      for (let c = 0; c < count; c++) {
        const x = inputs[c]![i]!;
        physical[c] = x;
        if (x - x !== 0) defined = false;
      }
      if (defined) pixel(physical, rgb);
      else rgb.fill(0);
      for (let b = 0; b < 3; b++) out[o + b] = whole ? quantise(rgb[b]!, full) : rgb[b]!;
      if (bands === 4) out[o + 3] = defined ? full : 0;
    }
  };
};
