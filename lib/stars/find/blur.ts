import type { Grid } from './gauss.ts';
import { KERNEL_BASE64 } from './kernel.wasm.ts';
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

let made: BlurExports | undefined | null = null;

/** Undefined where there is no WebAssembly with SIMD. */
const blurModule = (): BlurExports | undefined => {
  if (made !== null) return made;
  try {
    const module = new WebAssembly.Module(Uint8Array.from(atob(KERNEL_BASE64), (c) => c.charCodeAt(0)));
    const abort = () => {
      throw new WebAssembly.RuntimeError('smoothing left its memory');
    };
    made = new WebAssembly.Instance(module, { env: { abort } }).exports as unknown as BlurExports;
  } catch {
    made = undefined;
  }
  return made;
};

/**
 * A rectangle smoothed by several symmetric kernels, each result in an array of its own; its border is repeated outwards. The
 * bytes are those of `plainBlur`.
 * @param kernels half of each, the middle first, see `gaussKernel`
 */
export const blurred = (values: Float32Array, size: Grid, kernels: readonly Float32Array[]): Float32Array[] => {
  const module = blurModule();
  const { width, height } = size;
  const longest = Math.max(...kernels.map(({ length }) => length));
  if (module === undefined || width + 2 * longest > LONGEST_ROW)
    return kernels.map((kernel) => plainBlur(values, size, kernel));
  const stride = Math.ceil(width / 4) * 4;
  const start = Math.ceil(module.firstFree() / LINE) * LINE;
  // Vectors run over the end of the last row by less than a line.
  const room = stride * height + LINE;
  const missing = start + 4 * (2 * room + longest) - module.memory.buffer.byteLength;
  if (missing > 0) module.memory.grow(Math.ceil(missing / PAGE));
  const memory = new Float32Array(module.memory.buffer as ArrayBuffer, start);
  const [to, weights] = [room, 2 * room];
  copyRows(values, width, memory, stride, width, height);
  return kernels.map((kernel) => {
    memory.set(kernel, weights);
    module.blur(start, start + 4 * to, 4 * stride, width, height, start + 4 * weights, kernel.length - 1);
    const out = new Float32Array(width * height);
    copyRows(memory.subarray(to), stride, out, width, width, height);
    return out;
  });
};

const copyRows = (
  from: Float32Array,
  fromStride: number,
  to: Float32Array,
  toStride: number,
  width: number,
  height: number,
): void => {
  for (let y = 0; y < height; y++) to.set(from.subarray(y * fromStride, y * fromStride + width), y * toStride);
};
