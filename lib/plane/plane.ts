import type { HeaderFacts } from './facts.ts';
import type { Origin } from './origin.ts';
import type { RawRows, SampleType } from './stored.ts';

export { BYTES_PER_SAMPLE, type RawRows, type SampleType } from './stored.ts';

/** Where rows of pixels go on reading. Float32 holds every 8- and 16-bit and float32 sample exactly; Float64 the rest. */
export type Samples = Float32Array | Float64Array;

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
  /** What chooses the other pictures of its file, such as `[1]`; absent or empty where there are none or one was chosen. */
  readonly others?: readonly string[];
  /** The rows as they lie in the file, if they do. */
  readonly raw: RawRows | undefined;
  /**
   * Rows that are decoded together, counted from the first: reading one of them costs as much as all. Infinity where reading
   * anything costs as much as all that lies before it; absent where every row stands alone.
   */
  readonly rowsTogether?: number | undefined;
  /**
   * Places inside a compressed file from which reading can begin, as `openPlane` takes them: whoever opens the file again
   * need not go through all of it. Plain data of the format; absent where it needs none.
   */
  readonly seekPoints?: unknown;
  /** How other threads can make this source; absent where they cannot, as for pictures in memory. */
  readonly origin?: Origin | undefined;
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
