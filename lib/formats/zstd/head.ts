import { damaged } from './damage.ts';

/** What the head of a frame says (RFC 8878 §3.1.1.1). */
export interface FrameHead {
  /** Bytes that a block may refer back to. */
  readonly window: number;
  /** Bytes of the whole frame, where it says so. */
  readonly size: number | undefined;
  readonly hasSum: boolean;
}

/** Farthest reach that is read, in bytes: what the format's own tool accepts unless told otherwise. */
const MOST_WINDOW = 2 ** 27;

/** Bytes of the head behind its first byte, the descriptor. */
export const headLength = (descriptor: number): number => {
  const single = (descriptor & 32) !== 0;
  const size = [single ? 1 : 0, 2, 4, 8][descriptor >> 6]!;
  return (single ? 0 : 1) + [0, 1, 2, 4][descriptor & 3]! + size;
};

/** Reads the head from its descriptor and the bytes behind it. */
export const readHead = (descriptor: number, bytes: Uint8Array): FrameHead => {
  if ((descriptor & 8) !== 0) damaged('a reserved bit is set');
  const number = (at: number, length: number) => {
    let value = 0;
    for (let i = length - 1; i >= 0; i--) value = value * 256 + bytes[at + i]!;
    return value;
  };
  const single = (descriptor & 32) !== 0;
  const keyAt = single ? 0 : 1;
  const keyLength = [0, 1, 2, 4][descriptor & 3]!;
  if (number(keyAt, keyLength) !== 0) damaged('it needs a dictionary');
  const sizeLength = headLength(descriptor) - keyAt - keyLength;
  const size = sizeLength === 0 ? undefined : number(keyAt + keyLength, sizeLength) + (sizeLength === 2 ? 256 : 0);
  const base = 2 ** (10 + (bytes[0]! >> 3));
  // A frame in one segment is its own window; that grows with what is decoded, like any other.
  const window = single ? size! : base + (base / 8) * (bytes[0]! & 7);
  if (!single && window > MOST_WINDOW) damaged(`it refers back over ${window} bytes`);
  return { window: Math.min(window, MOST_WINDOW), size, hasSum: (descriptor & 4) !== 0 };
};
