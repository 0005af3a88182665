import { kernelOf } from '../../plane/compiled.ts';
import { LENGTH_SYMBOL } from '../deflate/symbols.ts';
import { WEIGHTED } from './filter.ts';
import { KERNEL } from './kernel.wasm.ts';

/** What the module that packs exports; addresses are those of its own memory, lengths in bytes. */
export interface PackExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  tableAt(table: number): number;
  filterRows(samples: number, rows: number, hasAbove: number, ...places: number[]): void;
  frequencies(bytes: number, count: number): void;
  findRuns(bytes: number, from: number, to: number, matches: number): number;
  look(bytes: number, from: number, to: number, alike: number, ...places: number[]): void;
  take(bytes: number, starts: number, cost: number, reached: number, matches: number): number;
  countSymbols(bytes: number, matches: number, found: number): void;
  putFrom(at: number, held: number, bits: number): void;
  putBlock(bytes: number, from: number, to: number, matches: number, found: number): number;
  putHeld(): number;
  putBits(): number;
  endBlocks(): number;
  crc32(at: number, count: number): number;
  adler32(at: number, count: number, before: number): number;
}

/** The module's tables, by their numbers. */
export const TABLE = {
  weighted: 0,
  byteBits: 1,
  lengthBits: 2,
  distanceBits: 3,
  lengthSymbols: 4,
  literals: 5,
  distances: 6,
  literalWords: 7,
  distanceWords: 8,
} as const;

const packing = kernelOf<PackExports>(KERNEL, 'packing');

/** An instance with its tables filled; undefined where there is no WebAssembly with SIMD. */
const instantiate = (): PackExports | undefined => {
  const kernel = packing.instantiate();
  if (kernel === undefined) return undefined;
  new Float64Array(kernel.memory.buffer, kernel.tableAt(TABLE.weighted), WEIGHTED.length).set(WEIGHTED);
  new Uint32Array(kernel.memory.buffer, kernel.tableAt(TABLE.lengthSymbols), LENGTH_SYMBOL.length).set(LENGTH_SYMBOL);
  return kernel;
};

/** The one instance of a thread: a block is made at one go. */
let only: PackExports | undefined | null = null;

/** The instance of this thread, with so many bytes of memory from its first free address on. */
export const packKernel = (bytes: number): PackExports | undefined => {
  if (only === null) only = instantiate();
  if (only === undefined) return undefined;
  const missing = only.firstFree() + bytes - only.memory.buffer.byteLength;
  if (missing > 0) only.memory.grow(Math.ceil(missing / 65536));
  return only;
};
