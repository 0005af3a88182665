import type { Scratch } from '../../plane/scratch.ts';
import type { LineLevel, LineLevels } from './levels.ts';
import { pieceScores } from './piece-scores.ts';
import { type LineSums, lineSums } from './transform.ts';

/** Levels in plain numbers. */
export const plainLevels = (scratch: Scratch): LineLevels =>
  function* (values, weights, most): Generator<LineLevel> {
    const counts = lineSums(weights, most, scratch, 'weights');
    for (const sums of lineSums(values, most, scratch, 'values')) {
      const known = counts.next().value as LineSums;
      const { rows, pieces, stride, pad } = sums;
      const scores = scratch.floats('scores', sums.sums.length);
      yield { rows, pieces, stride, pad, scores: (question) => pieceScores(sums, known, question, scores) };
    }
  };
