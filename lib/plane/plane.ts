import type { HeaderFacts } from './facts.ts';
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

/** Where rows of pixels go on reading. Float32 holds every 8- and 16-bit and float32 sample exactly; Float64 the rest. */
export type Samples = Float32Array | Float64Array;

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

/** One monochrome picture that can be read by rows, whatever file it lives in. Rows count from the top. */
export interface PlaneSource {
  /** The file as the user named it, with its selector if one was given. */
  readonly file: string;
  readonly width: number;
  readonly height: number;
  /** The type of the *physical* values: unsigned FITS integers are 'u16', scaled ones 'f32' or 'f64'. */
  readonly type: SampleType;
  /** Full scale of the stored samples (65535 for u16), undefined for floats; used to find saturation. */
  readonly fullScale: number | undefined;
  readonly facts: HeaderFacts;
  /** What a user should know about how the file was read, each a sentence without the file name. */
  readonly warnings: readonly string[];
  /** The rows as they lie in the file, if they do. */
  readonly raw: RawRows | undefined;
  /**
   * Rows [y, y + rows), top first, as physical values into the start of `into` (length ≥ rows · width).
   * Undefined pixels are NaN; ±Infinity stays as stored.
   * Calls may come in any order and with any height; results never depend on it.
   */
  readRows(y: number, rows: number, into: Samples): Promise<void>;
  /**
   * What the checksums in the file say against it, as further `warnings`: none where they fit. Absent where the file
   * carries none. Reads all of the picture's bytes once, without decoding them.
   */
  readonly checkSums?: () => Promise<readonly string[]>;
}

/** A picture in memory: rows top first, undefined pixels NaN. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}
