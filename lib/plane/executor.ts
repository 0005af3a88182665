import type { BlockMeasuring } from './block-grid.ts';
import type { Counting } from './counting.ts';
import type { FilePicture } from './origin.ts';
import type { PieceWorking } from './piece-work.ts';
import type { PlaneSource } from './plane.ts';

/** Others who do heavy work together, if the platform has any. What they give does not depend on how they share it. */
export interface Executor {
  readonly count: Counting;
  readonly blocks: BlockMeasuring;
  /** Absent where only masters one by one are shared. */
  readonly pieces?: PieceWorking;
  /**
   * Looks for the places inside compressed files from which reading can begin, several files at the same time; undefined for
   * those that have none or cannot be read. Absent where files are not read by many.
   */
  readonly places?: (pictures: readonly FilePicture[], bytes: number) => Promise<readonly PlaneSource['seekPoints'][]>;
}
