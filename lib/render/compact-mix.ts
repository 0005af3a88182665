import type { Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { createEngine } from './wasm/engine.ts';
import { hasFastKernel, returnInstance, takeInstance } from './wasm/module.ts';
import { planKernel } from './wasm/plan.ts';

/** Mixes pixels that need not lie beside each other. */
export interface CompactMix {
  /** Where the values of each settled channel go; those of `most` pixels have room. */
  readonly inputs: readonly Samples[];
  /** The first `count` pixels as red, green, blue and alpha, floats as the picture has them; valid until the next call. */
  run(count: number): Float32Array;
  close(): void;
}

/** @param forms a buffer of the kind that each channel's values come in */
export const createCompactMix = async (
  settled: Settled,
  forms: readonly Samples[],
  most: number,
): Promise<CompactMix> => {
  const plan = hasFastKernel() ? planKernel(settled, 'f32') : undefined;
  if (plan === undefined) return referenceMix(settled, forms, most);
  const instance = takeInstance(settled.space);
  const inputs = forms.map((form) => ({ ...memoryForm(form), bottomUp: false }));
  const engine = createEngine(plan, { sample: 'f32', bands: 4 }, inputs, { width: most, rows: 1 }, instance)!;
  const views = engine.inputs.map(
    ({ buffer, byteOffset }, c): Samples =>
      forms[c] instanceof Float64Array
        ? new Float64Array(buffer, byteOffset, most)
        : new Float32Array(buffer, byteOffset, most),
  );
  const { buffer, byteOffset } = engine.output;
  const output = new Float32Array(buffer, byteOffset, 4 * most);
  return {
    inputs: views,
    run(count) {
      engine.run(1, count);
      return output.subarray(0, 4 * count);
    },
    close: () => returnInstance(settled.space, instance),
  };
};

const referenceMix = async (settled: Settled, forms: readonly Samples[], most: number): Promise<CompactMix> => {
  const kernel = (await import('./js-kernel.ts')).jsKernel(settled, { sample: 'f32', bands: 4 });
  const inputs = forms.map((form) => (form instanceof Float64Array ? new Float64Array(most) : new Float32Array(most)));
  const output = new Float32Array(4 * most);
  return {
    inputs,
    run(count) {
      kernel(inputs, count, output);
      return output.subarray(0, 4 * count);
    },
    close() {},
  };
};
