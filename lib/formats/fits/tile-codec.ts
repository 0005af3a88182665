import { fastInflate } from './fast-inflate.ts';
import { fastRice } from './fast-rice.ts';
import { MAX_RATIO, memberHeaderBytes } from './gzip-stream.ts';
import { OUTPUT_MARGIN, startInflate } from './inflate.ts';
import { type RiceShape, riceMinimum } from './rice.ts';
import { type Stored, swapSamples } from './samples.ts';

/** What a decoder says where the bytes are not what they should be. */
export interface Fault {
  readonly fault: string;
}

/** @returns `count` integers, or a fault; memory is taken only if so many can be in so few bytes. */
export const decodeRiceTile = (bytes: Uint8Array, count: number, shape: RiceShape): Int32Array | Fault => {
  if (bytes.length < riceMinimum(count, shape)) return TOO_SHORT;
  const pixels = new Int32Array(count);
  return fastRice(bytes, count, shape, pixels) ? pixels : { fault: 'its RICE_1 data end early or are damaged' };
};

const TOO_SHORT: Fault = { fault: 'it holds fewer bytes than its pixels need' };

/** Inflates one gzip member that must hold `count` samples of one of the `sizes`; bytes are still big-endian. */
export const inflateTile = (
  bytes: Uint8Array,
  count: number,
  sizes: readonly number[],
): Uint8Array<ArrayBuffer> | Fault => {
  const most = count * Math.max(...sizes);
  if (count * Math.min(...sizes) > bytes.length * MAX_RATIO) return TOO_SHORT;
  const header = bytes[0] === 0x1f && bytes[1] === 0x8b ? memberHeaderBytes(bytes) : undefined;
  if (header === undefined) return { fault: 'it is no gzip data' };
  const state = startInflate();
  state.from = header;
  const out = new Uint8Array(most + OUTPUT_MARGIN);
  const message = fastInflate(state, bytes, true, out);
  if (message !== 'ok') return { fault: `its gzip data are damaged: ${message}` };
  if (state.mode !== 'done' || !sizes.some((size) => size * count === state.at))
    return {
      fault: `its gzip data hold ${state.mode === 'done' ? state.at : `more than ${most}`} bytes instead of ${most}`,
    };
  return out.subarray(0, state.at);
};

/** GZIP_2 keeps the first bytes of all samples, then the second ones, and so on: puts them together again. */
export const unshuffle = (bytes: Uint8Array, count: number): Uint8Array<ArrayBuffer> => {
  const size = bytes.length / count;
  const whole = new Uint8Array(bytes.length);
  for (let byte = 0; byte < size; byte++) {
    const plane = byte * count;
    for (let i = 0, to = byte; i < count; i++, to += size) whole[to] = bytes[plane + i]!;
  }
  return whole;
};

/** Big-endian bytes as numbers; the size of a sample follows from the count. */
export const toSamples = (bytes: Uint8Array, count: number, float: boolean): Stored => {
  const size = bytes.length / count;
  const { buffer } = new Uint8Array(bytes);
  swapSamples(buffer, 0, count, size);
  if (float) return size === 4 ? new Float32Array(buffer) : new Float64Array(buffer);
  return size === 1 ? new Uint8Array(buffer) : size === 2 ? new Int16Array(buffer) : new Int32Array(buffer);
};
