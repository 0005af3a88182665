import type { Channel } from '../../measure/measure.ts';
import type { Measured } from '../../plane/measured.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { plainRecipe } from '../written/plain.ts';
import type { WrittenRecipe } from '../written/schema.ts';
import { prepareChannels } from './channels.ts';
import type { SettleResult } from './settle.ts';
import { settlePrepared, smallOf } from './settle-prepared.ts';

/** Settled numbers, and the measurements they were found from. */
export interface ChannelsResult extends SettleResult {
  readonly measured: readonly Measured[];
}

/**
 * Prepares and measures channels and replaces every automatic value of the recipe by the number that they give.
 * @throws LinewashError 'recipe' as `plainRecipe` does, 'input' as `prepareChannels` does
 */
export const settleChannels = async (
  written: WrittenRecipe,
  channels: readonly Channel[],
  options: StripOptions = {},
): Promise<ChannelsResult> => {
  const recipe = await plainRecipe(written);
  const preparation = await prepareChannels(recipe, channels, options);
  const { settled, warnings } = await settlePrepared(recipe, preparation, smallOf(channels, options));
  return { settled, measured: preparation.measured, warnings: [...preparation.warnings, ...warnings] };
};
