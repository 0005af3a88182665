import type { NoiseShares } from '../hours/noise-shares.ts';
import type { Channel } from '../measure/measure.ts';
import type { LineNoise } from '../plane/line-noise.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { smallerBy, unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { findNoise } from '../smooth/find-noise.ts';
import { longerExposed } from '../smooth/longer.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';

/** Channels of `unsmoothedChannels` with less noise, and the numbers that belong to them: levels are kept as they are. */
export interface LongerMix {
  readonly settled: Settled;
  readonly channels: readonly Channel[];
}

/**
 * The channels of a settled mix as a longer exposure might have left them: an estimate, see `longerExposed`.
 * @param channels those of `unsmoothedChannels`, of the full frame at any size
 */
export const longerMix = async (
  lines: OpenLines,
  recipe: Recipe,
  { settled, channels }: LongerMix,
  shares: NoiseShares,
  options: StripOptions = {},
): Promise<LongerMix> => {
  const names = settled.channels.flatMap(({ name }) => ((shares[name] ?? 1) < 1 ? name : []));
  const noises = await noiseOfLines(lines, recipe, settled, names, options);
  const made = channels.map((channel): Channel => {
    const noise = noises.get(channel.name);
    if (noise === undefined) return channel;
    const by = smallerBy({ frame: noise.frame }, channels);
    return { ...channel, source: longerExposed(channel.source, noise.noise, shares[channel.name]!, by) };
  });
  return { settled: lessNoise(settled, shares), channels: made };
};

interface FoundNoise {
  readonly noise: LineNoise;
  readonly frame: { readonly width: number; readonly height: number };
}

/** The noise at full size of the lines that show some; each is looked at once. */
const noiseOfLines = async (
  lines: OpenLines,
  recipe: Recipe,
  settled: Settled,
  names: readonly string[],
  { signal }: StripOptions,
): Promise<ReadonlyMap<string, FoundNoise>> => {
  const zeros = zerosOf(recipe);
  const all = unsmoothedChannels(settled, await lines.full(neededChannels(recipe), zeros, { signal }));
  const found = new Map<string, FoundNoise>();
  for (const { name, source } of all) {
    if (!names.includes(name)) continue;
    const { surface, continuum, spots } = settled.channels.find((channel) => channel.name === name)!;
    const key = JSON.stringify(['noise', name, zeros, surface, continuum, spots]);
    const noise = await lines.once(key, () => findNoise(source, { signal }));
    if (noise) found.set(name, { noise, frame: { width: source.width, height: source.height } });
  }
  return found;
};

/** The recipe's own smoothing knows that there is less noise. */
const lessNoise = (settled: Settled, shares: NoiseShares): Settled => {
  const { smooth } = settled;
  if (smooth === undefined) return settled;
  const noise = Object.fromEntries(
    Object.entries(smooth.noise).map(([name, of]) => {
      const share = (shares[name] ?? 1) ** 2;
      return [name, { ...of, variance: of.variance * share, perCount: of.perCount * share }];
    }),
  );
  return { ...settled, smooth: { ...smooth, noise } };
};
