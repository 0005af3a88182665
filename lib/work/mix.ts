import type { Channel } from '../measure/measure.ts';
import type { Measured } from '../plane/measured.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { layeredChannels } from '../recipe/settle/layered.ts';
import { unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type Composition, compose, type MixAdditions } from './compose.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';

/** A mix at full size, and the numbers that its lines were measured to have. */
export interface Mix extends Composition {
  readonly measured: readonly Measured[];
  /** Its channels before smoothing and with all stars, whole even where the mix is cut: noise is measured in these. */
  readonly unsmoothed: readonly Channel[];
}

/**
 * Settles a recipe on open lines and adds stars and crop: the picture at full size, ready to be rendered.
 * @param progress 0…1 of the measuring, which takes nearly all of the time
 * @throws LinewashError 'input' where masters, recipe and stars do not fit together.
 */
export const mixLines = async (
  lines: OpenLines,
  recipe: Recipe,
  additions: MixAdditions = {},
  options: StripOptions = {},
): Promise<Mix> => {
  const { settled, measured, notes, warnings } = await lines.settle(recipe, options);
  const { progress: _, ...quiet } = options;
  const full = await lines.full(neededChannels(recipe), zerosOf(recipe), quiet);
  const unsmoothed = unsmoothedChannels(settled, full);
  const taken = { settled, channels: unsmoothed };
  const { longer } = additions;
  const shown =
    longer === undefined ? taken : await (await import('./longer.ts')).longerMix(lines, recipe, taken, longer, quiet);
  const layers = layeredChannels(shown.settled, shown.channels);
  const mix = { settled: shown.settled, ...layers, warnings: [...notes, ...warnings] };
  return { ...(await compose(mix, recipe, additions, { signal: options.signal })), measured, unsmoothed };
};
