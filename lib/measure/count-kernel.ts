import { compileModule } from '../plane/compiled.ts';
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

let compiled: WebAssembly.Module | undefined | null = null;

const countModule = (): WebAssembly.Module | undefined => {
  if (compiled !== null) return compiled;
  try {
    compiled = compileModule(KERNEL);
  } catch {
    compiled = undefined;
  }
  return compiled;
};

/** Whether the module that counts runs here. */
export const canCountFast = (): boolean => countModule() !== undefined;

/** Instances that no counter uses now: their memory is large and slow to get. */
const idle: CountExports[] = [];

/** An instance for one counter. @throws RangeError where there is none. */
export const takeKernel = (): CountExports => {
  const before = idle.pop();
  if (before !== undefined) return before;
  const module = countModule();
  if (module === undefined) throw new RangeError('no WebAssembly with SIMD');
  const abort = () => {
    throw new WebAssembly.RuntimeError('the counter left its memory');
  };
  return new WebAssembly.Instance(module, { env: { abort } }).exports as unknown as CountExports;
};

/** Takes an instance back for the next counter. */
export const giveKernel = (kernel: CountExports): void => void idle.push(kernel);
