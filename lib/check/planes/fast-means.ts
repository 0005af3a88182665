import { createCheckKernel, layOut } from '../kernel.ts';
import type { Means } from './means.ts';

/** Columns that the module averages together. */
const TOGETHER = 64;

/** Means in WebAssembly; undefined where there is none with SIMD. The same bytes as `plainMeans`. */
export const fastMeans = (): Means | undefined => {
  const kernel = createCheckKernel();
  if (kernel === undefined) return undefined;
  return (from, to, { width, height }, { reach, edge, scale }) => {
    const { take, done } = layOut(kernel);
    const plane = take(4 * width * height);
    const margins = 2 * (reach + 1);
    // Two rows of doubles, or some columns of floats; each twice.
    const room = take(Math.max(32 * (width + margins), 8 * TOGETHER * (height + margins)));
    done();
    const memory = new Float32Array(kernel.memory.buffer as ArrayBuffer, plane, width * height);
    memory.set(from);
    kernel.meansAcross(plane, width, height, room, reach, edge, scale);
    kernel.meansDown(plane, width, height, room, reach, edge, scale);
    to.set(memory);
  };
};
