/** Output colour spaces a recipe can name. */
export type SpaceName = 'srgb' | 'display-p3' | 'srgb-linear';

/** Samples of written pictures: 8 or 16 bits unsigned, or float32. */
export type OutputSample = 'u8' | 'u16' | 'f32';

/** Rows of a picture, pixels interleaved, in the type of its samples. */
export type OutputRows = Uint8Array | Uint16Array | Float32Array;

/** What a picture writer must know before the first row. */
export interface PictureInfo {
  readonly width: number;
  readonly height: number;
  /** 3 = red, green, blue; 4 = with unassociated alpha. */
  readonly bands: 3 | 4;
  readonly sample: OutputSample;
  readonly space: SpaceName;
  /** Recipe, settled numbers and inputs as JSON in ASCII (non-ASCII escaped as \uXXXX); empty for none. */
  readonly note: string;
}

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
