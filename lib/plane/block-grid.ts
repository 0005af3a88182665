import type { Box } from './box.ts';
import type { Mask } from './mask.ts';
import type { PlaneSource } from './plane.ts';
import type { Progress } from './progress.ts';

/** One square of the picture and what its defined pixels hold. Values are physical. */
export interface Block {
  /** Mean position of the pixels looked at, in pixels from the centre of the top left one. */
  readonly x: number;
  readonly y: number;
  /** Pixels looked at. */
  readonly count: number;
  /** Median and standard deviation after clipping at 3 sigma. */
  readonly level: number;
  readonly noise: number;
  /** Noise from one pixel to the next; NaN where no pixel has all its neighbours. */
  readonly pixelNoise: number;
}

/** The blocks of a picture. */
export interface BlockGrid {
  readonly width: number;
  readonly height: number;
  /** Side of a block in pixels. */
  readonly size: number;
  /** The blocks that hold enough, row by row. */
  readonly blocks: readonly Block[];
}

/** Where the pixels of blocks may come from. Plain data. */
export interface BlockLimits {
  /** Everywhere where absent. */
  readonly include?: readonly Box[] | undefined;
  /** Where none may come from. */
  readonly exclude?: readonly Box[] | undefined;
  /** Pixels that do not count. */
  readonly mask?: Mask | undefined;
}

/** A faster way to measure blocks than one after the other; undefined where it cannot serve a source. */
export type BlockMeasuring = (
  source: PlaneSource,
  limits: BlockLimits,
  progress?: Progress,
) => Promise<BlockGrid> | undefined;
