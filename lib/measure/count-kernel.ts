import { kernelOf } from '../plane/compiled.ts';
import { KERNEL } from './kernel.wasm.ts';

/** What the module that counts exports; addresses are those of its own memory. */
export interface CountExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  setTables(bins: number, slots: number, tables: number, carries: number): void;
  setSamples(...form: number[]): void;
  setLine(power: number, coefficient: number): void;
  flatten(row: number, width: number, bigEndian: number): void;
  decode(from: number, to: number, samples: number): void;
  takeOff(at: number, samples: number, number: number): void;
  count(from: number, samples: number, decoded: number): void;
  refine(from: number, samples: number, decoded: number): void;
  takeCarries(): number;
  sumBlocks(table: number, to: number): void;
  missingCount(): number;
  zeroCount(): number;
}

const kernel = kernelOf<CountExports>(KERNEL, 'the counter');

/** Whether the module that counts runs here. */
export const canCountFast = kernel.canRun;

/** Instances that no counter uses now: their memory is large and slow to get. */
const idle: CountExports[] = [];

/** An instance for one counter. @throws RangeError where there is none. */
export const takeKernel = (): CountExports => {
  const before = idle.pop();
  if (before !== undefined) return before;
  const fresh = kernel.instantiate();
  if (fresh === undefined) throw new RangeError('no WebAssembly with SIMD');
  return fresh;
};

/** Takes an instance back for the next counter. */
export const giveKernel = (used: CountExports): void => void idle.push(used);
