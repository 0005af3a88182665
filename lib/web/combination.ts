import { outlierNotes } from '../recipe/settle/combinations.ts';
import type { Bench } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import type { CallContext } from './wire/rpc.ts';

/** How several masters became one line. */
export interface Combination {
  readonly line: string;
  /** In the order of the masters; weights sum to 1. */
  readonly parts: readonly { readonly file: string; readonly weight: number }[];
  /** Noise of the best of them over that of all together; absent where it is not known. */
  readonly gain?: number | undefined;
  /** What was left out and what stood in the way, each a sentence. */
  readonly warnings: readonly string[];
}

/**
 * How the masters of each line that has several are combined.
 * @throws LinewashError 'input' where some do not belong together.
 */
export const combinationsOf = async (bench: Bench, lines: Lines, { signal }: CallContext): Promise<Combination[]> => {
  const found: Combination[] = [];
  for (const [line, id] of Object.entries(lines)) {
    const match = await bench.get(id).match?.('undefined', { signal });
    if (match === undefined) continue;
    const parts = match.parts.map(({ source, weight }) => ({ file: source.file, weight }));
    found.push({ line, parts, gain: match.gain, warnings: [...outlierNotes(match.parts), ...match.warnings] });
  }
  return found;
};
