import { type MarkedPicture, markPicture } from '../work/marks.ts';
import type { OpenLines } from '../work/open-lines.ts';
import { viewLines } from '../work/view.ts';
import { plainOf } from './plain.ts';
import type { PartQuestion } from './preview.ts';
import { breathe, type CallContext, handOver } from './wire/rpc.ts';

/** What is out of range or undefined in the picture on screen, or in a part of the full-size masters. */
export const marksOf = async (
  lines: OpenLines,
  question: PartQuestion,
  { signal }: CallContext,
): Promise<MarkedPicture> => {
  const { channels, settled } = await viewLines(lines, await plainOf(question.recipe), question, undefined, { signal });
  const marked = await markPicture(channels, settled, { signal, pause: breathe });
  return handOver(marked, [marked.marks.buffer]);
};
