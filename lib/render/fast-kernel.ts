import type { OutputRows } from '../plane/picture.ts';
import type { Samples } from '../plane/plane.ts';
import type { Settled } from '../recipe/settled.ts';
import { jsKernel } from './js-kernel.ts';
import type { Kernel, KernelForm } from './kernel.ts';
import { createEngine, type Engine, type EngineInput } from './wasm/engine.ts';
import { hasFastKernel } from './wasm/module.ts';
import { type KernelPlan, planKernel } from './wasm/plan.ts';

/** Pixels handed to the module at a time: a few channels of them fit the second-level cache. */
const CHUNK = 1 << 15;

const BYTES = { u8: 1, u16: 2, f32: 4 } as const;

/**
 * The fastest kernel for these settled numbers: the SIMD module where it runs and is exact to one step of 16 bits, else
 * the reference in JavaScript.
 */
export const kernelFor = (settled: Settled, form: KernelForm): Kernel => {
  const plan = hasFastKernel() ? planKernel(settled) : undefined;
  return plan === undefined ? jsKernel(settled, form) : fastKernel(plan, form);
};

/** The SIMD module as a function of row buffers. */
export const fastKernel = (plan: KernelPlan, form: KernelForm): Kernel => {
  let engine: Engine | undefined;
  let kinds = '';
  const pixelBytes = form.bands * BYTES[form.sample];
  return (inputs, count, out) => {
    const types = inputs.map((samples) => (samples instanceof Float64Array ? 'f64' : 'f32'));
    if (engine === undefined || types.join() !== kinds) {
      kinds = types.join();
      engine = createEngine(plan, form, types.map(memoryInput), { width: CHUNK, rows: 1 })!;
    }
    const target = bytesOf(out);
    for (let done = 0; done < count; done += CHUNK) {
      const pixels = Math.min(CHUNK, count - done);
      for (const [c, samples] of inputs.entries())
        engine.inputs[c]!.set(bytesOf(samples.subarray(done, done + pixels)));
      engine.run(1, pixels);
      target.set(engine.output.subarray(0, pixels * pixelBytes), done * pixelBytes);
    }
  };
};

/** Physical values in the machine's own order, which for WebAssembly is little-endian. */
const memoryInput = (type: 'f32' | 'f64'): EngineInput => ({
  type,
  physical: type,
  bigEndian: false,
  zero: 0,
  scale: 1,
  blank: undefined,
  bottomUp: false,
});

const bytesOf = (samples: Samples | OutputRows): Uint8Array =>
  new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
