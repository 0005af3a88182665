import { inputError } from '../plane/errors.ts';
import { preparedChannels } from '../recipe/prepared.ts';
import type { Recipe } from '../recipe/schema.ts';
import { sampleLines } from '../recipe/suggest/sample.ts';
import { type Suggestions, suggestMixes } from '../recipe/suggest/suggest.ts';
import { shrink } from '../render/shrink.ts';
import { type Bench, zerosOf } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import type { CallContext } from './rpc.ts';

/** Longer side in pixels of the copies that are looked at, as on the command line. */
const LOOKED_AT = 480;

/**
 * Mixes computed from open masters, stretched as a recipe of nothing but a matrix would.
 * @throws LinewashError 'input' where fewer than two lines are open or hold signal
 */
export const suggestFor = async (
  bench: Bench,
  lines: Lines,
  { signal, progress }: CallContext,
): Promise<Suggestions> => {
  const channels = Object.keys(lines);
  if (channels.length < 2) throw inputError('one line alone makes no colours', 'open masters of at least two lines');
  const even = channels.map(() => 1);
  const recipe: Recipe = { channels, matrix: [even, even, even], balance: 'rows' };
  const { settled } = await bench.settle(lines, recipe, { signal, progress });
  const small = await bench.small(lines, channels, zerosOf(recipe), LOOKED_AT, { signal });
  const planes = [];
  for (const { source } of preparedChannels(settled, small)) planes.push(await shrink(source, LOOKED_AT, { signal }));
  return suggestMixes(sampleLines(settled.channels, planes));
};
