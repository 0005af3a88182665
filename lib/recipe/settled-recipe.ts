import type { Recipe } from './schema.ts';
import type { Settled, SettledStretch } from './settled.ts';

/**
 * Settled numbers as a recipe: nothing in it is found from the data any more, so that settling it on the masters it came
 * from gives the same numbers, and on others shows them with exactly the same treatment.
 * @param recipe where the numbers came from; its words and its rule for zeros are kept
 */
export const settledRecipe = (settled: Settled, recipe: Omit<Recipe, 'matrix'>): Recipe => {
  const { channels, mixIn, intensity, greenLimit } = settled;
  const { name, about, by, licence, zeros } = recipe;
  const words = Object.fromEntries(
    Object.entries({ name, about, by, licence, zeros }).filter(([, v]) => v !== undefined),
  );
  return {
    linewash: 1,
    ...words,
    channels: channels.map((channel) => channel.name),
    matrix: settled.matrix.map((row) => [...row]),
    balance: 'as-written',
    space: settled.space,
    mixIn,
    background: { model: 'level', at: byChannel(settled, ({ background }) => background) },
    scale: 'each',
    levels: byChannel(settled, ({ black, white }) => ({ black, white })),
    stretch: intensity ? { '*': stretchOf(intensity) } : byChannel(settled, ({ stretch }) => stretchOf(stretch)),
    ...(settled.lightness && { lightness: [...settled.lightness] }),
    highlights: settled.highlights,
    gamut: settled.gamut,
    ...(greenLimit && { greenLimit: greenLimit.amount, greenMean: greenLimit.mean }),
  };
};

const byChannel = <T>({ channels }: Settled, of: (channel: Settled['channels'][number]) => T): Record<string, T> =>
  Object.fromEntries(channels.map((channel) => [channel.name, of(channel)]));

const stretchOf = ({ curve, a, points }: SettledStretch) => ({
  curve,
  ...(a !== undefined && { a }),
  ...(points && { points: points.map(([x, y]): [number, number] => [x, y]) }),
});
