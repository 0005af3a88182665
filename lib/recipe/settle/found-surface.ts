import type { BlockGrid } from '../../plane/block-grid.ts';
import type { Assessment } from '../../prepare/background/assess.ts';

/** A fitted surface with what it rests on. */
export interface FoundSurface extends Assessment {
  readonly grid: BlockGrid;
  /** How much of the frame (of what holds data, where no boxes say where to look) lies between the blocks used, 0 to 1. */
  readonly span: Span;
}

/** Width and height as shares, 0 to 1, or in pixels. */
export interface Span {
  readonly width: number;
  readonly height: number;
}
