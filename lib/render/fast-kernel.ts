import type { OutputRows } from '../plane/picture.ts';
import type { Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Kernel, KernelForm } from './kernel.ts';
import { createEngine } from './wasm/engine.ts';
import { hasFastKernel, returnInstance, takeInstance } from './wasm/module.ts';
import { type KernelPlan, planKernel } from './wasm/plan.ts';

/** Pixels handed to the module at a time: a few channels of them fit the second-level cache. */
const CHUNK = 1 << 15;

const BYTES = { u8: 1, u16: 2, f32: 4 } as const;

/** The SIMD module for these settled numbers; undefined where it does not run or is not exact to one step of 16 bits. */
export const fastKernelFor = (settled: Settled, form: KernelForm): Kernel | undefined => {
  const plan = hasFastKernel() ? planKernel(settled, form.sample) : undefined;
  return plan && fastKernel(plan, form);
};

/** The SIMD module as a function of arrays in memory. */
export const fastKernel =
  (plan: KernelPlan, form: KernelForm): Kernel =>
  (inputs, count, out) => {
    const { space } = plan.settled;
    const forms = inputs.map((samples) => ({ ...memoryForm(samples), bottomUp: false }));
    const instance = takeInstance(space);
    const engine = createEngine(plan, form, forms, { width: CHUNK, rows: 1 }, instance)!;
    const pixelBytes = form.bands * BYTES[form.sample];
    const target = bytesOf(out);
    for (let done = 0; done < count; done += CHUNK) {
      const pixels = Math.min(CHUNK, count - done);
      for (const [c, samples] of inputs.entries())
        engine.inputs[c]!.set(bytesOf(samples.subarray(done, done + pixels)));
      engine.run(1, pixels);
      target.set(engine.output.subarray(0, pixels * pixelBytes), done * pixelBytes);
    }
    returnInstance(space, instance);
  };

const bytesOf = (samples: Samples | OutputRows): Uint8Array =>
  new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
