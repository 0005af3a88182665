import type { PictureFacts } from './picture-facts.ts';

/** Output colour spaces a recipe can name. */
export type SpaceName = 'srgb' | 'display-p3' | 'srgb-linear';

/** Samples of written pictures: 8 or 16 bits unsigned, or float32. */
export type OutputSample = 'u8' | 'u16' | 'f32';

/** Rows of a picture, pixels interleaved, in the type of its samples. */
export type OutputRows = Uint8Array | Uint16Array | Float32Array;

/** A buffer for `count` samples of an output type. */
export const outputRows = (sample: OutputSample, count: number): OutputRows =>
  sample === 'u8' ? new Uint8Array(count) : sample === 'u16' ? new Uint16Array(count) : new Float32Array(count);

/** What a picture writer must know before the first row. */
export interface PictureInfo {
  readonly width: number;
  readonly height: number;
  /** 3 = red, green, blue; 4 = with unassociated alpha. */
  readonly bands: 3 | 4;
  readonly sample: OutputSample;
  readonly space: SpaceName;
  /** Recipe, settled numbers and inputs as JSON in ASCII (all else escaped as \u and four digits); empty for none. */
  readonly note: string;
  /** What the masters' headers say of it, for formats that have places for that. */
  readonly facts?: PictureFacts | undefined;
}

/** Everything in a file but its pixels, and where those go: for formats whose pixels can be written in any order. */
export interface PictureLayout {
  /** Bytes before the pixels. */
  readonly head: Uint8Array;
  /** Where the first pixel lies: the length of `head`. */
  readonly pixelOffset: number;
  /** Bytes of all pixels. */
  readonly pixelBytes: number;
  /** Bytes after the pixels. */
  readonly tail: Uint8Array;
  /**
   * How the pixels lie: false for rows top first, samples interleaved and little-endian; true for planes one after the
   * other, rows bottom first, samples big-endian.
   */
  readonly planes: boolean;
}

/** A band of a picture as the bytes of its file. */
export interface EncodedBand {
  readonly bytes: readonly Uint8Array[];
  /** Checksum of what was compressed, and the number of bytes that it counts. */
  readonly sum: number;
  readonly length: number;
}

/** For formats that compress pixels: bands are encoded apart, on any thread, and stand one behind the other. */
export interface PictureEncoder {
  /** Bytes before the first band; as long whatever hashes the note holds. */
  readonly head: Uint8Array;
  /** Bands begin at rows that can be divided by this. */
  readonly rows: number;
  /** Rows above a band that encoding it takes: one or none. */
  readonly above: 0 | 1;
  /** The band that begins at row `y`; `above` is the row before it, absent at the top and where none is taken. */
  encode(rows: OutputRows, y: number, above: OutputRows | undefined): EncodedBand;
  /** The checksum of all bands so far, given that of those before the last one. */
  join(sum: number, band: EncodedBand): number;
  /** Bytes after the last band. */
  tail(sum: number): Uint8Array;
}

/** The checksum of no band. */
export const NO_BANDS = 1;

/**
 * Takes a picture row by row, top first, pixels interleaved, samples in the machine's own type.
 * `writeRows` must be called in order; `finish` once, after the last row. Neither closes the sink.
 */
export interface PictureWriter {
  /** The next rows, top first, whole rows only. */
  writeRows(rows: OutputRows): Promise<void>;
  /** Writes what stands after the last row. */
  finish(): Promise<void>;
}
