import type { Mask } from './mask.ts';

/** How a file stores one sample. */
export type SampleType = 'u8' | 'i8' | 'u16' | 'i16' | 'u32' | 'i32' | 'i64' | 'f16' | 'f32' | 'f64';

export const BYTES_PER_SAMPLE: Readonly<Record<SampleType, number>> = {
  u8: 1,
  i8: 1,
  u16: 2,
  i16: 2,
  u32: 4,
  i32: 4,
  i64: 8,
  f16: 2,
  f32: 4,
  f64: 8,
};

/**
 * Uncompressed rows that lie in the file one after the other, described so that a kernel can decode them itself.
 * physical = zero + scale · raw; raw = blank is undefined (integers only).
 */
export interface RawRows {
  /** Byte offset of the first *stored* row. */
  readonly offset: number;
  /** Bytes from one stored row to the next. */
  readonly rowBytes: number;
  readonly type: SampleType;
  readonly bigEndian: boolean;
  readonly zero: number;
  readonly scale: number;
  readonly blank: number | undefined;
  /** True where the first stored row is the bottom of the picture. */
  readonly bottomUp: boolean;
  /** Pixels of the picture that are undefined whatever is stored. */
  readonly hidden?: Mask | undefined;
}
