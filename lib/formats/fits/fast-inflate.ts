import { crc32 } from '../crc32.ts';
import type { InflateState } from './deflate-codes.ts';
import type { PrefixCode } from './huffman.ts';
import { type DecodeCodes, decodeCodes, endBlock, inflate, OUTPUT_MARGIN } from './inflate.ts';
import { aligned, READ_AHEAD, type UnpackExports, unpackKernel } from './unpack-kernel.ts';

/** Matches reach back this far. */
const WINDOW = 1 << 15;
/** The kernel copies matches by eight bytes. */
const COPIED = 8;

/**
 * As `inflate`, with the same results: codes are decoded by a kernel, in whose memory input and output then lie.
 * Matches reach back 32 KiB, as the format has it.
 */
export const fastInflate = (state: InflateState, input: Uint8Array, final: boolean, out: Uint8Array): string => {
  const [given, kept] = [state.from, Math.max(0, state.at - WINDOW)];
  const room = aligned(input.length - given) + out.length - kept + READ_AHEAD;
  const kernel = unpackKernel(room);
  if (kernel === undefined) return inflate(state, input, final, out);
  const { buffer } = kernel.memory;
  const inputAt = kernel.firstFree();
  const packed = new Uint8Array(buffer, inputAt, input.length - given);
  const unpacked = new Uint8Array(buffer, aligned(inputAt + packed.length), out.length - kept);
  const start = state.at - kept;
  packed.set(input.subarray(given));
  unpacked.set(out.subarray(kept, state.at));
  Object.assign(state, { from: 0, at: start });
  const fault = inflate(state, packed, final, unpacked, kernelDecoder(kernel));
  out.set(unpacked.subarray(start, state.at), kept + start);
  Object.assign(state, { from: state.from + given, at: state.at + kept });
  return fault;
};

const FAULTS = ['', '', 'a code is damaged', 'a match is damaged'] as const;
const BLOCK_END = 1;

/** Decodes with the kernel as far as its margins allow, and the rest with the plain loop. */
const kernelDecoder = (kernel: UnpackExports): DecodeCodes => {
  let literals: PrefixCode | undefined;
  return (state, input, inputEnd, final, out) => {
    if (state.literals !== literals) setCodes(kernel, state.literals, state.distances);
    literals = state.literals;
    const { byteOffset: inputAt } = input;
    const { byteOffset: start } = out;
    const stop = inputAt + Math.min(inputEnd, input.length - READ_AHEAD);
    const limit = start + out.length - OUTPUT_MARGIN - COPIED;
    const places = [inputAt + state.from, stop, start + state.at, limit, start];
    const result = kernel.decodeCodes(state.bits, state.bitCount, ...places);
    state.bits = kernel.bitsLeft();
    state.bitCount = kernel.bitCountLeft();
    state.from = kernel.inputAt() - inputAt;
    state.at = kernel.outputAt() - start;
    if (result === BLOCK_END) endBlock(state);
    return FAULTS[result] || (result === 0 ? decodeCodes(state, input, inputEnd, final, out) : '');
  };
};

const setCodes = (kernel: UnpackExports, ...codes: readonly PrefixCode[]): void => {
  for (const [i, { counts, symbols }] of codes.entries())
    for (const [k, numbers] of [counts, symbols].entries())
      new Uint16Array(kernel.memory.buffer, kernel.codePlace(2 * i + k), numbers.length).set(numbers);
  kernel.setCodes();
};

/** As `crc32`. */
export const fastCrc32 = (bytes: Uint8Array, before = 0): number => {
  const kernel = unpackKernel(bytes.length);
  if (kernel === undefined) return crc32(bytes, before);
  const at = kernel.firstFree();
  new Uint8Array(kernel.memory.buffer, at, bytes.length).set(bytes);
  return kernel.crc32After(at, bytes.length, before) >>> 0;
};
