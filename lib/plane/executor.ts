import type { BlockMeasuring } from './block-grid.ts';
import type { Counting } from './counting.ts';
import type { PieceWorking } from './piece-work.ts';

/** Others who do heavy work together, if the platform has any. What they give does not depend on how they share it. */
export interface Executor {
  readonly count: Counting;
  readonly blocks: BlockMeasuring;
  /** Absent where only masters one by one are shared. */
  readonly pieces?: PieceWorking;
}
