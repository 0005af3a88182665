import type { Settled } from '../recipe/settled.ts';
import { fastKernelFor } from './fast-kernel.ts';
import { jsKernel } from './js-kernel.ts';
import type { Kernel, KernelForm } from './kernel.ts';

/** The fastest kernel for these settled numbers: the SIMD module where it can serve, else the reference in JavaScript. */
export const kernelFor = (settled: Settled, form: KernelForm): Kernel =>
  fastKernelFor(settled, form) ?? jsKernel(settled, form);
