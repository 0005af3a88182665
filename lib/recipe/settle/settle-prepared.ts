import type { Channel } from '../../measure/measure.ts';
import { planeSource } from '../../plane/memory-plane.ts';
import { shrink } from '../../plane/shrink.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Spots } from '../../prepare/fill.ts';
import type { Recipe } from '../written/schema.ts';
import { neededChannels, type Preparation } from './channels.ts';
import { withFoundLevel } from './levels.ts';
import { type SettleResult, settle } from './settle.ts';
import { asksForGain, asksForSky } from './settle-finish.ts';

/** Longer side in pixels of the copies that a gain is found from. */
const LOOKED_AT = 480;

/** The spots of channels that have some, by name. */
export type FoundSpots = Readonly<Record<string, Spots>>;

export const spotsOf = (channels: readonly { readonly name: string; readonly spots?: Spots }[]): FoundSpots =>
  Object.fromEntries(channels.flatMap(({ name, spots }) => (spots ? [[name, spots] as const] : [])));

/** Copies of channels whose longer side is at most that many pixels, made of channels whose spots are filled. */
export type SmallChannels = (
  names: readonly string[],
  longest: number,
  spots: FoundSpots,
) => Promise<readonly Channel[]>;

/** Small copies of channels at hand. */
export const smallOf =
  (channels: readonly Channel[], options: StripOptions): SmallChannels =>
  async (names, longest, spots) => {
    const copies: Channel[] = [];
    for (const { name, source } of channels) {
      if (!names.includes(name)) continue;
      const whole = spots[name] ? (await import('../../prepare/fill.ts')).filled(source, spots[name]) : source;
      copies.push({ name, source: planeSource(source.file, await shrink(whole, longest, options), source.facts) });
    }
    return copies;
  };

/**
 * Settles a recipe on what preparing its channels gave; what its finish asks for is found from the sky and from small copies of
 * the masters.
 */
export const settlePrepared = async (
  recipe: Recipe,
  preparation: Pick<Preparation, 'measured' | 'findings' | 'stars'>,
  small: SmallChannels,
): Promise<SettleResult> => {
  const { measured, findings, stars } = preparation;
  const result = settle(recipe, measured, findings, stars);
  if (!asksForGain(recipe) && !asksForSky(recipe)) return result;
  // Few recipes do; what finds it is loaded for them only.
  const { foundChroma } = await import('./find-gain.ts');
  const sky = result.settled.channels.map(({ name }) => {
    const line = withFoundLevel(measured.find((m) => m.name === name)!, findings);
    return { level: line.level, noise: findings[name]?.pixelNoise ?? line.spread };
  });
  const copies = () => small(neededChannels(recipe), LOOKED_AT, spotsOf(result.settled.channels));
  const { chroma, fault } = await foundChroma(recipe, result.settled, sky, measured, copies);
  const settled = { ...result.settled, finish: { ...result.settled.finish, chroma } };
  return { settled, warnings: fault === undefined ? result.warnings : [...result.warnings, fault] };
};
