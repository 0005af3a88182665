import type { Size } from './smooth.ts';

/** A picture in memory, rows top first. Values that are not finite hold no data. */
export interface Picture extends Size {
  readonly values: Float32Array;
}
