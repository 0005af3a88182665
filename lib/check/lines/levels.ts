import type { Laid } from './orient.ts';
import type { PieceScores, ScoreQuestion } from './piece-scores.ts';

/** All lines of a plane in pieces of one size, in the places that `LineSums` describes. */
export interface LineLevel {
  readonly rows: number;
  readonly pieces: number;
  readonly stride: number;
  readonly pad: number;
  /** The scores of all lines; undefined where too few are known. They hold until the next question. */
  scores(question: ScoreQuestion): PieceScores | undefined;
}

/**
 * Goes through pieces of 1, 2, 4 … `most` rows of a plane and its weights. Memory belongs to whoever asked last: use each level
 * before the next.
 * @param most a power of two
 */
export type LineLevels = (values: Laid, weights: Laid, most: number) => Iterable<LineLevel>;
