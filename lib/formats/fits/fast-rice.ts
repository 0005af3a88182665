import { decodeRice, type RiceShape } from './rice.ts';
import { aligned, READ_AHEAD, unpackKernel } from './unpack-kernel.ts';

/** As `decodeRice`, with the same results, by a kernel where the tile is not too large for one. */
export const fastRice = (bytes: Uint8Array, count: number, shape: RiceShape, into: Int32Array): boolean => {
  const padded = aligned(bytes.length + READ_AHEAD);
  const kernel = unpackKernel(padded + 4 * count);
  if (kernel === undefined) return decodeRice(bytes, count, shape, into);
  const { buffer } = kernel.memory;
  const input = kernel.firstFree();
  const packed = new Uint8Array(buffer, input, padded);
  packed.set(bytes);
  packed.fill(0, bytes.length);
  const to = aligned(input + padded);
  if (!kernel.decodeRice(input, bytes.length, count, shape.blockSize, shape.bytesPerPixel, to)) return false;
  into.set(new Int32Array(buffer, to, count));
  return true;
};
