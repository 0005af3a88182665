import type { OutputRows, OutputSample } from '../plane/picture.ts';
import type { Samples } from '../plane/plane.ts';

/** What a kernel makes of each pixel, beside the settled numbers. */
export interface KernelForm {
  readonly sample: OutputSample;
  /** 3, or 4 with alpha: full where every channel is defined, 0 elsewhere. */
  readonly bands: 3 | 4;
}

/**
 * Settled numbers turned into a function of pixels: the one place where colours are computed.
 * `inputs` holds a row buffer for each settled channel, in their order, NaN or infinite where undefined.
 * `out` gets `count` interleaved pixels; undefined ones are black.
 */
export type Kernel = (inputs: readonly Samples[], count: number, out: OutputRows) => void;
