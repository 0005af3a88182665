import { inputError } from '../plane/errors.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import { type LineSample, sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestions, suggestMixes, weakLines } from '../recipe/suggest/suggest.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { shrink } from '../render/shrink.ts';
import { type Bench, zerosOf } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import type { CallContext } from './wire/rpc.ts';

/** Longer side in pixels of the copies that are looked at, as on the command line. */
const LOOKED_AT = 480;

/** Lines of open masters as a recipe of nothing but a matrix would stretch them, each pixel of a small copy. */
const sampled = async (bench: Bench, lines: Lines, { signal, progress }: CallContext): Promise<LineSample> => {
  const channels = Object.keys(lines);
  const even = channels.map(() => 1);
  const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows' };
  const { settled } = await bench.settle(lines, recipe, { signal, progress });
  const small = await bench.small(lines, channels, zerosOf(recipe), LOOKED_AT, { signal });
  const planes = [];
  for (const { source } of preparedChannels(settled, small)) planes.push(await shrink(source, LOOKED_AT, { signal }));
  return sampleLines(settled.channels, planes);
};

/**
 * Mixes computed from open masters, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are open or hold signal
 */
export const suggestFor = async (bench: Bench, lines: Lines, context: CallContext): Promise<Suggestions> => {
  if (Object.keys(lines).length < 2)
    throw inputError('one line alone makes no colours', 'open masters of at least two lines');
  return suggestMixes(await sampled(bench, lines, context));
};

/** The lines that hold almost nothing but noise. */
export const weakFor = async (bench: Bench, lines: Lines, context: CallContext): Promise<string[]> =>
  weakLines(await sampled(bench, lines, context));
