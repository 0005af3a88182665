import { SPACES } from '../colour/spaces.ts';
import type { OutputRows, SpaceName } from '../plane/picture.ts';
import type { Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Kernel, KernelForm } from './kernel.ts';
import { createEngine, type Engine } from './wasm/engine.ts';
import { hasFastKernel, instantiateKernel, type KernelExports } from './wasm/module.ts';
import { type KernelPlan, planKernel } from './wasm/plan.ts';

/** Pixels handed to the module at a time: a few channels of them fit the second-level cache. */
const CHUNK = 1 << 15;

const BYTES = { u8: 1, u16: 2, f32: 4 } as const;

/** The SIMD module for these settled numbers; undefined where it does not run or is not exact to one step of 16 bits. */
export const fastKernelFor = (settled: Settled, form: KernelForm): Kernel | undefined => {
  const plan = hasFastKernel() ? planKernel(settled, form.sample) : undefined;
  return plan && fastKernel(plan, form);
};

interface SharedInstance {
  readonly kernel: KernelExports;
  user?: Kernel;
}

const instances = new Map<SpaceName, SharedInstance>();

/** One instance for all kernels of a space: memory is slow to get, and to get rid of. */
const instanceFor = (space: SpaceName): SharedInstance => {
  const instance = instances.get(space) ?? { kernel: instantiateKernel(SPACES[space].display)! };
  instances.set(space, instance);
  return instance;
};

/** The SIMD module as a function of row buffers. Numbers are loaded again where another kernel ran in between. */
export const fastKernel = (plan: KernelPlan, form: KernelForm): Kernel => {
  let engine: Engine | undefined;
  const { space } = plan.settled;
  let kinds = '';
  const pixelBytes = form.bands * BYTES[form.sample];
  const kernel: Kernel = (inputs, count, out) => {
    const forms = inputs.map((samples) => ({ ...memoryForm(samples), bottomUp: false }));
    const needed = forms.map(({ type }) => type).join();
    const instance = instanceFor(space);
    if (engine === undefined || needed !== kinds || instance.user !== kernel) {
      kinds = needed;
      instance.user = kernel;
      engine = createEngine(plan, form, forms, { width: CHUNK, rows: 1 }, instance.kernel)!;
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
  return kernel;
};

const bytesOf = (samples: Samples | OutputRows): Uint8Array =>
  new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
