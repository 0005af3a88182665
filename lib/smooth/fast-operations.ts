import { kernelOf } from '../plane/compiled.ts';
import { KERNEL } from './kernel.wasm.ts';
import { firstOf, type Grid, NONE, type Operations } from './operations.ts';

/** What the module that smooths exports; addresses and strides are in bytes. */
interface SmoothExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  load(plane: number, mask: number, ...form: number[]): number;
  cover(mask: number, plane: number, ...form: number[]): void;
  smooth(from: number, to: number, ...form: number[]): void;
  energy(from: number, to: number, ...form: number[]): void;
  invert(mask: number, weights: number, ...form: number[]): void;
  whiten(plane: number, smooth: number, ...form: number[]): void;
  shrink(line: number, guide: number, guideEnergy: number, smooth: number, removed: number, ...form: number[]): void;
  halve(from: number, fineStride: number, to: number, stride: number, width: number, height: number): void;
  raise(from: number, mask: number, stride: number, to: number, fineStride: number, ...size: number[]): void;
}

const PAGE = 65536;
const LINE = 64;
/** Most floats of a row: the module keeps sums of a row in memory of its own. */
const LONGEST_ROW = 4096;

const smoothing = kernelOf<SmoothExports>(KERNEL, 'smoothing');

/** The operations in WebAssembly; undefined where there is none with SIMD. The same bytes as `plainOperations`. */
export const fastOperations = (): Operations | undefined => {
  const kernel = smoothing.instantiate();
  if (kernel === undefined) return undefined;
  const start = Math.ceil(kernel.firstFree() / LINE) * LINE;
  let laidOut = '';
  const at = (grid: Grid, plane: number) => start + 4 * firstOf(grid, plane);
  const orNone = (grid: Grid, plane: number) => (plane === NONE ? 0 : at(grid, plane));
  const form = ({ stride, width, height }: Grid): [number, number, number] => {
    if (stride > LONGEST_ROW) throw new RangeError(`a row of ${stride} values is too long to smooth`);
    return [4 * stride, width, height];
  };
  return {
    memory(floats, layout) {
      const missing = start + 4 * floats - kernel.memory.buffer.byteLength;
      if (missing > 0) kernel.memory.grow(Math.ceil(missing / PAGE));
      const memory = new Float32Array(kernel.memory.buffer as ArrayBuffer, start, floats);
      if (layout !== laidOut) memory.fill(0);
      laidOut = layout;
      return memory;
    },
    load: (grid, plane, mask, { level, scale, farthest }) =>
      kernel.load(at(grid, plane), at(grid, mask), ...form(grid), level, scale, farthest) !== 0,
    cover: (grid, mask, plane) => kernel.cover(at(grid, mask), at(grid, plane), ...form(grid)),
    smooth: (grid, from, to, step, inverse) =>
      kernel.smooth(at(grid, from), at(grid, to), ...form(grid), step, orNone(grid, inverse)),
    energy: (grid, from, to, step, inverse) =>
      kernel.energy(at(grid, from), at(grid, to), ...form(grid), step, orNone(grid, inverse)),
    invert: (grid, mask, weights, whole) => kernel.invert(at(grid, mask), at(grid, weights), ...form(grid), whole),
    whiten: (grid, plane, smooth, factor, perCount) =>
      kernel.whiten(at(grid, plane), at(grid, smooth), ...form(grid), factor, perCount),
    shrink(grid, { line, guide, guideEnergy, smooth, removed, inverse, step, factor, perCount }) {
      const [y, t, tt, low, into] = [line, guide, guideEnergy, smooth, removed].map((plane) => at(grid, plane));
      kernel.shrink(y!, t!, tt!, low!, into!, ...form(grid), step, orNone(grid, inverse), factor, perCount);
    },
    halve: (fine, from, coarse, to) => kernel.halve(at(fine, from), 4 * fine.stride, at(coarse, to), ...form(coarse)),
    raise: (coarse, from, mask, fine, to) =>
      kernel.raise(
        at(coarse, from),
        orNone(coarse, mask),
        4 * coarse.stride,
        at(fine, to),
        4 * fine.stride,
        coarse.width,
        coarse.height,
      ),
  };
};
