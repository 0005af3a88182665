import { kernelOf } from '../plane/compiled.ts';
import { KERNEL } from './kernel.wasm.ts';

/** What the module exports; addresses are in bytes, all else in values. */
export interface CheckKernel {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  join(sums: number, into: number, pieces: number, rows: number, stride: number, pad: number): void;
  score(...question: number[]): number;
  meansAcross(plane: number, width: number, height: number, room: number, ...mean: number[]): void;
  meansDown(plane: number, width: number, height: number, room: number, ...mean: number[]): void;
}

const searching = kernelOf<CheckKernel>(KERNEL, 'the search for defects');

/** A module with memory of its own; undefined where there is no WebAssembly with SIMD. */
export const createCheckKernel = (): CheckKernel | undefined => searching.instantiate();

const PAGE = 65536;
const LINE = 64;

/** Hands out a module's memory from its start on, and makes it large enough in the end. */
export const layOut = (kernel: CheckKernel) => {
  let next = Math.ceil(kernel.firstFree() / LINE) * LINE;
  return {
    take(bytes: number): number {
      const at = next;
      next = Math.ceil((next + bytes) / LINE) * LINE;
      return at;
    },
    done(): void {
      const missing = next - kernel.memory.buffer.byteLength;
      if (missing > 0) kernel.memory.grow(Math.ceil(missing / PAGE));
    },
  };
};
