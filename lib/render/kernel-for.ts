import type { Settled } from '../recipe/settle/settled.ts';
import { fastKernelFor } from './fast-kernel.ts';
import type { Kernel, KernelForm } from './kernel.ts';

/**
 * The fastest kernel for these settled numbers: the SIMD module where it can serve, else the reference in JavaScript, which is
 * loaded only then.
 */
export const kernelFor = async (settled: Settled, form: KernelForm): Promise<Kernel> =>
  fastKernelFor(settled, form) ?? (await import('./js-kernel.ts')).jsKernel(settled, form);
