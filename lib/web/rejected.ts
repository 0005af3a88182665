import type { Box } from '../plane/box.ts';
import type { MatchedPart } from '../prepare/match.ts';
import { type RejectedMask, rejectedMasks } from '../work/rejected.ts';
import type { Bench } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import { type CallContext, handOver } from './wire/rpc.ts';

/** A master of a combined line, and the pixels of the whole frame that were left out of it. */
export interface RejectedPixels extends RejectedMask {
  /** Where most of them lie; absent where none was found. */
  readonly largest?: Box | undefined;
}

interface MatchedLine {
  readonly line: string;
  readonly parts: readonly MatchedPart[];
}

/** What combining left out of the masters of lines that have several, as `linewash mix --rejected` shows it. */
export const rejectedOf = async (
  bench: Bench,
  lines: Lines,
  { signal, progress }: CallContext,
): Promise<readonly RejectedPixels[]> => {
  const combined: MatchedLine[] = [];
  for (const [line, id] of Object.entries(lines)) {
    const match = await bench.get(id).match?.('undefined', { signal });
    if (match !== undefined) combined.push({ line, parts: match.parts });
  }
  const found = combined.length === 0 ? [] : await rejectedMasks(combined, { signal, progress });
  const outliers = combined.flatMap(({ parts }) => parts.map((part) => part.outliers));
  return handOver(
    found.map((pixels, k) => ({ ...pixels, largest: outliers[k]?.largest[0] })),
    found.map(({ mask }) => mask.bits.buffer as ArrayBuffer),
  );
};
