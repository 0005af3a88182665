import { SPACES } from '../../colour/spaces.ts';
import { kernelOf } from '../../plane/compiled.ts';
import type { SpaceName } from '../../plane/picture.ts';
import { KERNEL } from './kernel.wasm.ts';

/** What the module asks of its host: the transfer functions beyond the reach of its tables. */
export interface KernelHost {
  readonly decode: (value: number) => number;
  readonly encode: (light: number) => number;
}

/** The module's functions; see assembly/index.ts for their parameters. Booleans are 0 and 1. */
export interface KernelExports {
  readonly memory: WebAssembly.Memory;
  /** First address that the module does not use itself. */
  firstFree(): number;
  setSteps(...steps: number[]): void;
  setGreenLimit(amount: number, larger: number): void;
  /** A knot of the tone curve, and how many there are. */
  setKnot(i: number, count: number, x: number, y: number, slope: number): void;
  setChromaGain(gainMinusOne: number, from: number, overRange: number, overUntil: number): void;
  /** A bend, angles in radians, and how many there are. */
  setBend(i: number, count: number, at: number, turn: number, overWidth: number, chromaMinusOne: number): void;
  setOutput(bytesOfSample: number, alpha: number): void;
  setSamples(c: number, ...form: number[]): void;
  setLevels(c: number, offset: number, inverse: number): void;
  setCurve(i: number, kind: number, a: number, b: number, sign: number, shift: number): void;
  setTable(i: number, address: number, bits: number, base: number, last: number): void;
  setInput(c: number, address: number, step: number): void;
  setWeight(row: number, c: number, weight: number): void;
  setMatrixEntry(i: number, value: number): void;
  setLuminance(r: number, g: number, b: number): void;
  /** Coefficient of a power of u, −1…1 along a row, for `flatten`. */
  setLine(power: number, coefficient: number): void;
  /** Takes the surface off one row of float32 samples; they are little-endian then. */
  flatten(row: number, width: number, bigEndian: number): void;
  setTransferReach(decode: number, encode: number): void;
  setCodes(cells: number, leasts: number, firstCell: number): void;
  run(out: number, rows: number, width: number): void;
}

const kernel = kernelOf<KernelExports>(KERNEL, 'the kernel');

/** Whether the fast kernel runs here. */
export const hasFastKernel = kernel.canRun;

/** A fresh instance with memory of its own; undefined where none can run. */
export const instantiateKernel = ({ encode, decode }: KernelHost): KernelExports | undefined =>
  kernel.instantiate({ encode, decode });

/** Instances that nobody uses, by the space of their transfer functions: memory is slow to get, and to get rid of. */
const idle = new Map<SpaceName, KernelExports[]>();
/** More are not kept. */
const MOST_IDLE = 2;

/** An instance for a space, fresh or used before: `createEngine` loads all numbers. Only where `hasFastKernel`. */
export const takeInstance = (space: SpaceName): KernelExports =>
  idle.get(space)?.pop() ?? instantiateKernel(SPACES[space].display)!;

/** Gives an instance back; whatever engine it belonged to must not be used any more. */
export const returnInstance = (space: SpaceName, instance: KernelExports): void => {
  const rest = idle.get(space) ?? [];
  if (rest.length < MOST_IDLE) idle.set(space, [...rest, instance]);
};
