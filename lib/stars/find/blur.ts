import { kernelOf } from '../../plane/compiled.ts';
import type { Grid } from './gauss.ts';
import { KERNEL } from './kernel.wasm.ts';
import { plainBlur } from './plain-blur.ts';

/** What the module exports; addresses and strides are in bytes. */
interface BlurExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  blur(from: number, to: number, stride: number, width: number, height: number, kernel: number, reach: number): void;
}

const PAGE = 65536;
const LINE = 64;
/** Most values of a row with what is repeated at its ends: the module keeps one in memory of its own. */
const LONGEST_ROW = 4000;

const blurring = kernelOf<BlurExports>(KERNEL, 'smoothing');
let made: BlurExports | undefined;

/** Undefined where there is no WebAssembly with SIMD. */
const blurModule = (): BlurExports | undefined => {
  made ??= blurring.instantiate();
  return made;
};

/** Where the module keeps rectangles of a size: the values, two results, and the kernel; as indices of floats. */
const placesFor = (module: BlurExports, { width, height }: Grid, longest: number) => {
  const stride = Math.ceil(width / 4) * 4;
  const start = Math.ceil(module.firstFree() / LINE) * LINE;
  // Vectors run over the end of the last row by less than a line.
  const room = stride * height + LINE;
  const missing = start + 4 * (3 * room + longest) - module.memory.buffer.byteLength;
  if (missing > 0) module.memory.grow(Math.ceil(missing / PAGE));
  const memory = new Float32Array(module.memory.buffer as ArrayBuffer, start);
  return { memory, stride, start, first: room, second: 2 * room, weights: 3 * room };
};

const longestOf = (kernels: readonly Float32Array[]): number => Math.max(...kernels.map(({ length }) => length));

/** The module where it can do the work. */
const moduleFor = ({ width }: Grid, kernels: readonly Float32Array[]): BlurExports | undefined =>
  width + 2 * longestOf(kernels) > LONGEST_ROW ? undefined : blurModule();

/**
 * A rectangle smoothed by a symmetric kernel; its border is repeated outwards. The bytes are those of `plainBlur`.
 * @param kernel half of it, the middle first, see `gaussKernel`
 */
export const blurred = (values: Float32Array, size: Grid, kernel: Float32Array): Float32Array => {
  const module = moduleFor(size, [kernel]);
  if (module === undefined) return plainBlur(values, size, kernel);
  const places = placesFor(module, size, kernel.length);
  copyRows(values, size.width, places.memory, places.stride, size);
  run(module, places, size, kernel, places.first);
  const out = new Float32Array(values.length);
  copyRows(places.memory.subarray(places.first), places.stride, out, size.width, size);
  return out;
};

/** A rectangle smoothed by each of some kernels, as `blurred` does. @param into one result for each */
export const blurredBy = (
  values: Float32Array,
  size: Grid,
  kernels: readonly Float32Array[],
  into: readonly Float32Array[],
): void => {
  const module = moduleFor(size, kernels);
  if (module === undefined) {
    for (const [k, kernel] of kernels.entries()) into[k]!.set(plainBlur(values, size, kernel));
    return;
  }
  const places = placesFor(module, size, longestOf(kernels));
  copyRows(values, size.width, places.memory, places.stride, size);
  for (const [k, kernel] of kernels.entries()) {
    run(module, places, size, kernel, places.first);
    copyRows(places.memory.subarray(places.first), places.stride, into[k]!, size.width, size);
  }
};

/** A rectangle smoothed by one kernel less the same smoothed by another, both as `blurred` does. */
export const blurredDifference = (
  values: Float32Array,
  size: Grid,
  [one, other]: readonly [Float32Array, Float32Array],
  into: Float32Array,
): void => {
  const module = moduleFor(size, [one, other]);
  if (module === undefined) {
    const less = plainBlur(values, size, other);
    into.set(plainBlur(values, size, one).map((value, i) => value - less[i]!));
    return;
  }
  const places = placesFor(module, size, longestOf([one, other]));
  const { memory, stride, first, second } = places;
  copyRows(values, size.width, memory, stride, size);
  run(module, places, size, one, first);
  run(module, places, size, other, second);
  for (let y = 0, i = 0; y < size.height; y++)
    for (let a = first + y * stride, b = second + y * stride, end = a + size.width; a < end; a++, b++, i++)
      into[i] = memory[a]! - memory[b]!;
};

const run = (
  module: BlurExports,
  { memory, stride, start, weights }: ReturnType<typeof placesFor>,
  { width, height }: Grid,
  kernel: Float32Array,
  to: number,
): void => {
  memory.set(kernel, weights);
  module.blur(start, start + 4 * to, 4 * stride, width, height, start + 4 * weights, kernel.length - 1);
};

const copyRows = (
  from: Float32Array,
  fromStride: number,
  to: Float32Array,
  toStride: number,
  { width, height }: Grid,
): void => {
  for (let y = 0; y < height; y++) to.set(from.subarray(y * fromStride, y * fromStride + width), y * toStride);
};
