/** One bit a pixel, rows padded to whole bytes: 1 marks a pixel. */
export interface Mask {
  readonly width: number;
  readonly height: number;
  /** Bytes in a row. */
  readonly stride: number;
  readonly bits: Uint8Array;
}

export const createMask = (width: number, height: number): Mask => {
  const stride = (width + 7) >> 3;
  return { width, height, stride, bits: new Uint8Array(stride * height) };
};

export const isMarked = (mask: Mask, x: number, y: number): boolean =>
  (mask.bits[y * mask.stride + (x >> 3)]! & (1 << (x & 7))) !== 0;

export const mark = (mask: Mask, x: number, y: number): void => {
  mask.bits[y * mask.stride + (x >> 3)]! |= 1 << (x & 7);
};

/** A mask that marks what either marks. */
export const uniteMasks = (a: Mask, b: Mask | undefined): Mask =>
  b === undefined ? a : { ...a, bits: a.bits.map((byte, i) => byte | b.bits[i]!) };

export const countMarked = (mask: Mask): number => {
  let count = 0;
  for (let byte of mask.bits) for (; byte; byte &= byte - 1) count++;
  return count;
};

/** Calls `visit` with the index into a block of rows [y, y + rows) for every marked pixel of that block. */
export const eachMarked = (mask: Mask, y: number, rows: number, visit: (index: number) => void): void => {
  for (let r = 0; r < rows; r++) {
    const base = (y + r) * mask.stride;
    for (let i = 0; i < mask.stride; i++) {
      const byte = mask.bits[base + i]!;
      if (byte === 0) continue;
      for (let b = 0; b < 8; b++) if (byte & (1 << b)) visit(r * mask.width + i * 8 + b);
    }
  }
};
