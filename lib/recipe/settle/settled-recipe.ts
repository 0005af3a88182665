import type { Finish } from '../../finish/finish.ts';
import type { Surface } from '../../prepare/background/surface.ts';
import { RECIPE_VERSION } from '../written/limits.ts';
import type { Recipe } from '../written/schema.ts';
import type { Settled, SettledSmooth, SettledStretch } from './settled.ts';

/**
 * Settled numbers as a recipe: nothing in it is found from the data any more, so that settling it on the masters it came
 * from gives the same numbers, and on others shows them with exactly the same treatment.
 * @param recipe where the numbers came from; its words, its rule for zeros and its wish for stars are kept
 */
export const settledRecipe = (settled: Settled, recipe: Omit<Recipe, 'matrix'>): Recipe => {
  const { channels, mixIn, intensity, greenLimit, finish } = settled;
  const { name, about, by, licence, zeros, stars } = recipe;
  const words = Object.fromEntries(
    Object.entries({ name, about, by, licence, zeros }).filter(([, v]) => v !== undefined),
  );
  return {
    linewash: RECIPE_VERSION,
    ...words,
    channels: channels.map((channel) => channel.name),
    matrix: settled.matrix.map((row) => [...row]),
    balance: 'as-written',
    space: settled.space,
    mixIn,
    background: backgroundOf(settled),
    ...continuumOf(settled),
    ...spotsOf(settled),
    scale: 'each',
    levels: byChannel(settled, ({ black, white }) => ({ black, white })),
    stretch: intensity ? { '*': stretchOf(intensity) } : byChannel(settled, ({ stretch }) => stretchOf(stretch)),
    ...(settled.lightness && { lightness: [...settled.lightness] }),
    highlights: settled.highlights,
    gamut: settled.gamut,
    ...(settled.smooth && { smooth: smoothOf(settled.smooth) }),
    ...(finish && { finish: writtenFinish(finish) }),
    ...(stars && { stars }),
    ...(greenLimit && { greenLimit: greenLimit.amount, greenMean: greenLimit.mean }),
  };
};

/** Levels and surfaces as given numbers; `clip`, so that no other level is looked for beside them. */
const backgroundOf = (settled: Settled): NonNullable<Recipe['background']> => {
  const at = byChannel(settled, ({ background }) => background);
  const surfaces = settled.channels.flatMap(({ name, surface, continuum }) => [
    ...(surface ? [[name, surface] as const] : []),
    ...(continuum?.surface ? [[continuum.from, continuum.surface] as const] : []),
  ]);
  if (surfaces.length === 0) return { model: 'level', from: 'clip', at };
  return { model: 'surface', from: 'clip', at, surfaces: Object.fromEntries(surfaces.map(plain)) };
};

/** The same numbers in arrays of their own. */
const plain = ([name, { order, coefficients, shade, uncertainty }]: readonly [string, Surface]) => [
  name,
  {
    order: order as 1 | 2 | 3 | 4,
    coefficients: [...coefficients],
    ...(shade && { shade: { ...shade, values: [...shade.values] } }),
    ...(uncertainty !== undefined && { uncertainty }),
  },
];

const smoothOf = ({ strength, scales, guide, lines, noise }: SettledSmooth): NonNullable<Recipe['smooth']> => ({
  strength,
  lines: [...lines],
  guide,
  scales,
  noise: Object.fromEntries(Object.entries(noise).map(([name, numbers]) => [name, { ...numbers }])),
});

/** A settled finish as a recipe states it. */
export const writtenFinish = ({ tone, chroma, bends }: Finish): NonNullable<Recipe['finish']> => ({
  ...(tone && { tone: tone.map(([x, y]): [number, number] => [x, y]) }),
  ...(chroma && { chroma: { ...chroma } }),
  ...(bends && { bends: bends.map((bend) => ({ ...bend })) }),
});

const continuumOf = ({ channels }: Settled): Pick<Recipe, 'continuum'> => {
  const entries = channels.flatMap(({ name, continuum }) =>
    continuum ? [[name, { from: continuum.from, k: continuum.k }] as const] : [],
  );
  return entries.length > 0 ? { continuum: Object.fromEntries(entries) } : {};
};

const spotsOf = ({ channels }: Settled): Pick<Recipe, 'spots'> => {
  const entries = channels.flatMap(({ name, spots }) =>
    spots ? [[name, spots.at.map(([x, y]): [number, number] => [x, y])] as const] : [],
  );
  return entries.length > 0 ? { spots: Object.fromEntries(entries) } : {};
};

const byChannel = <T>({ channels }: Settled, of: (channel: Settled['channels'][number]) => T): Record<string, T> =>
  Object.fromEntries(channels.map((channel) => [channel.name, of(channel)]));

const stretchOf = ({ curve, a, points }: SettledStretch) => ({
  curve,
  ...(a !== undefined && { a }),
  ...(points && { points: points.map(([x, y]): [number, number] => [x, y]) }),
});
