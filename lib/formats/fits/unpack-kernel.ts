import { kernelOf } from '../../plane/compiled.ts';
import { KERNEL } from './kernel.wasm.ts';

/** What the module that unpacks exports; addresses are those of its own memory, lengths in bytes. */
export interface UnpackExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  codePlace(table: number): number;
  setCodes(): void;
  decodeCodes(bits: number, bitCount: number, ...places: number[]): number;
  bitsLeft(): number;
  bitCountLeft(): number;
  inputAt(): number;
  outputAt(): number;
  crc32After(at: number, count: number, before: number): number;
  decodeRice(input: number, length: number, count: number, blockSize: number, size: number, to: number): number;
}

const unpacking = kernelOf<UnpackExports>(KERNEL, 'unpacking');

/** More than this is left to the plain loops: the memory of an instance never shrinks. */
const MOST_BYTES = 1 << 23;

/** The one instance of a thread: nothing is kept in its memory from one call to the next. */
let only: UnpackExports | undefined | null = null;

/** The instance of this thread with `bytes` of memory from its first free address on; undefined where that is too much. */
export const unpackKernel = (bytes: number): UnpackExports | undefined => {
  if (bytes > MOST_BYTES) return undefined;
  if (only === null) only = unpacking.instantiate();
  if (only === undefined) return undefined;
  const missing = only.firstFree() + bytes - only.memory.buffer.byteLength;
  if (missing > 0) only.memory.grow(Math.ceil(missing / 65536));
  return only;
};

/** Bytes that kernels may read behind their input. */
export const READ_AHEAD = 16;

/** The next address that holds any number. */
export const aligned = (address: number): number => (address + 15) & ~15;
