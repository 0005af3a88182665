import type { Settled } from '../settle/settled.ts';
import { writtenFinish } from '../settle/settled-recipe.ts';
import { channelsOf } from '../written/facts-of.ts';
import type { Recipe, WrittenRecipe } from '../written/schema.ts';

/**
 * A recipe with other weights, taken as written: line colours, knobs and a balance, which gave the weights before, go. A
 * finish keeps the numbers that it had, for what is held is held through it.
 * Channels that the mix does not use get weight 0.
 * @param plain the same recipe with every weight a number
 * @param settled the same recipe settled: its channels are the columns of `weights`
 */
export const heldRecipe = (
  written: WrittenRecipe,
  plain: Recipe,
  settled: Pick<Settled, 'channels' | 'mixIn' | 'intensity' | 'finish'>,
  weights: readonly (readonly number[])[],
): WrittenRecipe => {
  const { knobs: _, lines: _lines, white: _white, lightness: _lightness, ...kept } = written;
  const channels = channelsOf(plain);
  const columns = channels.map((name) => settled.channels.findIndex((channel) => channel.name === name));
  return {
    ...kept,
    channels: [...channels],
    matrix: weights.map((row) => columns.map((column) => row[column] ?? 0)),
    balance: 'as-written',
    ...(plain.lightness !== undefined && { lightness: plain.lightness }),
    ...(plain.smooth && { smooth: plain.smooth }),
    ...(settled.finish && { finish: writtenFinish(settled.finish) }),
    ...(settled.intensity && { stretch: { '*': intensityWish(settled.intensity) } }),
  };
};

/** In light the curve is found from the weights: with others it would be another, so that the one found is kept. */
const intensityWish = ({ curve, a, points }: NonNullable<Settled['intensity']>) => ({
  curve,
  ...(a !== undefined && { a }),
  ...(points && { points: points.map(([x, y]): [number, number] => [x, y]) }),
});
