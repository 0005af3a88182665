import { inputError } from '../plane/errors.ts';
import { shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import { type LineSample, sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestions, suggestMixes, weakLines } from '../recipe/suggest/suggest.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';

/** Longer side in pixels of the copies that are looked at. */
const LOOKED_AT = 480;

/** Mixes that suit the masters, and what is to be said of these. */
export interface SuggestedMixes extends Suggestions {
  readonly warnings: readonly string[];
}

/** Lines as a recipe of nothing but a matrix would stretch them, each pixel of a small copy. */
const sampled = async (lines: OpenLines, options: StripOptions) => {
  const channels = [...lines.names];
  const even = channels.map(() => 1);
  const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows' };
  const { settled, notes, warnings } = await lines.settle(recipe, options);
  const small = await lines.small(channels, zerosOf(recipe), LOOKED_AT, { signal: options.signal });
  const planes = [];
  for (const { source } of preparedChannels(settled, small)) planes.push(await shrink(source, LOOKED_AT));
  const sample: LineSample = sampleLines(settled.channels, planes);
  return { sample, warnings: [...notes, ...warnings] };
};

/**
 * Mixes computed from the masters of all open lines, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are open or hold signal
 */
export const suggestLines = async (lines: OpenLines, options: StripOptions = {}): Promise<SuggestedMixes> => {
  if (lines.names.length < 2)
    throw inputError('one line alone makes no colours', 'give masters of at least two lines, for example H and O');
  const { sample, warnings } = await sampled(lines, options);
  return { ...suggestMixes(sample), warnings };
};

/** The lines that hold almost nothing but noise. */
export const weakOf = async (lines: OpenLines, options: StripOptions = {}): Promise<string[]> =>
  weakLines((await sampled(lines, options)).sample);
